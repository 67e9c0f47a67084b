"""An invented club and its season on invented ground, made through the same actions as real records.

Ravensand & District Search Club works a parish that the sea took: every field here lies in the North Sea, so
that no living person's land is drawn. The same seed gives the same club; dates are counted from today.
"""
