"""The few facts of the lab in one file, lab.db: settings, sign-ins, labs, stations, people, codes.

Plain values come in from pages and each call is one short transaction; rows go out as frozen values.  Written
in the common words of SQL through SQLAlchemy, so that a school's own database server can hold it one day.
"""
