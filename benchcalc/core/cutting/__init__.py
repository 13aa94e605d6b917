"""Which pieces are cut from which stick of stock, so that the fewest sticks are used.

Whole numbers inside (hundredths of a millimetre), so that what fits is never a matter of rounding.
"""
