"""From facts to findings: the rule base, its lint, two evaluators of the same rules.

`rulebase.load` reads ``rules/`` and a facility's own rules, `lint.check` says what is wrong with them,
`engine.fire` applies them to the facts of an assessment and `plain.fire` does the same in plain Python.
"""
