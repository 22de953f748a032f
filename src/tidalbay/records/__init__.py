"""What is kept: the log of every attempt and the few facts of the lab, on the disk of one folder.

Entries come in from stations, and settings, people and codes from pages; each is confirmed once it is synced.
What goes out are logs, rows and sentences about a disk that refuses: nothing here judges or computes.
"""

from tidalbay.records.acts.act_store import ActStore
from tidalbay.records.acts.stored import STATES, StoredAttempt
from tidalbay.records.folder_lock import alone_in
from tidalbay.records.lab.lab_store import LabStore
from tidalbay.records.lab.labs import JoinCode, LabRow, StationRow
from tidalbay.records.lab.people import IN_LINE_STATES, InLine
from tidalbay.records.lab.settings import GASES, SETTINGS
from tidalbay.records.lab.signing_in import ROLES, SignedIn
from tidalbay.records.problem import StoreError

__all__ = [
    "GASES",
    "IN_LINE_STATES",
    "ROLES",
    "SETTINGS",
    "STATES",
    "ActStore",
    "InLine",
    "JoinCode",
    "LabRow",
    "LabStore",
    "SignedIn",
    "StationRow",
    "StoreError",
    "StoredAttempt",
    "alone_in",
]
