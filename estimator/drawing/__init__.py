"""Shapes on paper: where lines, areas and words stand. Geometry only: no figure is seen."""
