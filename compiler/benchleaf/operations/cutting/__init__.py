"""What all cutting operations share: speed, feed, cuts in dial readings, sizes with their limits, stock, tools, times.

None of these is an operation itself.
"""
