"""Copies that leave the office, each built up from what its reader may see."""
