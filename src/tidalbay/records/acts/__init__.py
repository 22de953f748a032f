"""The log of every attempt in one file of its own, acts.db, written by one thread.

Batches of entries come in from many threads and share a commit; each is confirmed once that is synced.
Logs go out as `tidalbay.trace.Log`, read back from the same lines of JSON that a log file holds.
"""
