"""The rooms of the package in the order of the law: a module imports only what stands above it."""

ROOMS = """
    dataclass late version errors findings units lengths disk dice plane tables bench lists support
    words pattern folding film machine draft files edits report line job exhibit desk cli __main__
""".split()
