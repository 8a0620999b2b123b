"""cold-triage: which cold platform and which fabrication route a proposed measurement should use, and why.

A tour, in the order in which a datum flows: text becomes SI models (`models`, `units`), a catalogue says
what each kind of measurement needs (`measurements`), physics (`physics`) turns both into estimates and
margins per platform (`estimates`), rules turn margins into findings and findings into a ranking
(`reasoning`), thresholds and plans are found on the same chain (`planning`), and the verbs that people
use (`services`) hand one `Recommendation` to the command line and the screens.
"""

__version__ = "0.1.0"
