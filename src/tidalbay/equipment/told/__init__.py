"""What eyes and ears find on the equipment, and what a nurse would not leave as it is.

The graph comes in and is not changed.  Readings go out by name and unit, and sentences for people.
"""
