"""Physics of cold platforms and of what is measured on them: pure functions on SI floats or arrays.

Each function states its formula, units, range and source; none knows units as text, files or rules.
"""
