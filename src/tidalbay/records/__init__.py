"""What is kept: the log of every attempt and the few facts of the lab, on the disk of one folder.

Entries come in from stations, and settings, people and codes from pages; each is confirmed once it is synced.
What goes out are logs, rows and sentences about a disk that refuses: nothing here judges or computes.
"""

from tidalbay.records.acts.act_store import ActStore
from tidalbay.records.acts.stored import STATES, StoredAttempt
from tidalbay.records.problem import StoreError

__all__ = ["STATES", "ActStore", "StoreError", "StoredAttempt"]
