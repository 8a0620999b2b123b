"""The catalogue: what each kind of measurement needs to know and when it is cold enough for it."""
