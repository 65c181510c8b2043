"""Published tables and formulas, each with its source: threads, infeed, wires, speeds, reliefs, cautions."""
