"""Small models of their own, apart from the project's: what a copy or a list may know.

What is not defined here cannot be in that copy, and nothing in it is calculated anywhere else.
"""
