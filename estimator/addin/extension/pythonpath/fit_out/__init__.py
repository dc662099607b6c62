"""What the add-in does, for Calc's own Python (3.8 or later): standard library and UNO only."""
