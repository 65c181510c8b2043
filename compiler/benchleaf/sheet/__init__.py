"""The intermediate form: what a sheet says, before anyone decides how it looks.

Operations make it, back ends read it, and neither knows the other.
"""
