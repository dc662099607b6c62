"""Whole-number plans as near to the lower bound as can be had."""
