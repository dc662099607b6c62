"""Workbooks of every format, as the versions that wrote them left them."""
