"""The trade's quantities against figures from outside, each with its source beside it.

Traps that were met while those figures were read, and where each is tested:
- a misprinted increment of a learning curve, and a misprinted midpoint shift: test_labour
- square feet a litre printed for square metres a litre: test_finish
- a published answer calculated with another demand than its own problem: test_price recomputes both
  problems in full
- the superseded freight scale of eighteen classes: test_weight_and_freight
- of the accessibility tables (the 1991 table still in circulation; two columns rounded up that
  exceed their own total), of dowel bearing strength and of flame spread: with the quantities of
  accessibility and of loads
- of the wordings of spreadsheet principles: with the tests of the workbook file
"""
