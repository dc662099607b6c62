"""Workbooks of older formats: what they are made of, and how their rows become those of today.

`description.py` says what a description of a workbook holds; `format_1.json` is that of format 1,
whose workbooks do not carry one. `migrations.py` has the number of the present format and the way
from each format to the next, one file for each step, such as `from_1_to_2.py`.
"""
