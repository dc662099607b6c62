"""The purchaser's price: for each room and fixed, and the range of counts in which it holds.

A search of its own: thousands of new estimates by the product's definitions. It knows no workbook
and no page; `find_band` gives plain numbers.
"""
