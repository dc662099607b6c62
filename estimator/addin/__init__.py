"""The add-in for LibreOffice Calc, and the engine that it calls."""

NAME = "fit-out.oxt"
"""The add-in's file."""
