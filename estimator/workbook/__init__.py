"""The workbook: where each table stands, writing it, reading it back."""

END = "insert rows above this line"
"""The words in a table's last row, which is inside its ranges."""
