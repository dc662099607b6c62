"""Heights, reach and accessible rooms, against the 2010 ADA Standards (secondary sources)."""
