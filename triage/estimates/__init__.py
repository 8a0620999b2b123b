"""From a proposal and a platform to numbers: estimates, the nine gates, and the facts that rules read.

Every function here accepts arrays in place of single values, so that ranges and thresholds are found on
the very chain that gives the answer.
"""
