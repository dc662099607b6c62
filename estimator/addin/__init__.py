"""The add-in for LibreOffice Calc, and the engine that it calls."""
