"""Where gas comes from, by itself: bottles that run down, machines that make oxygen out of air.

In come a part, an amount and a stretch of time.  Out come pressures, purities, what is left and when that
changes.  How long a cylinder lasts is answered here too; what flows where is told by `equipment.flow`.
"""
