"""What stands before every address: which host was meant, from which page, how much and how often.

Every request and every socket comes in here first. What passes goes on unchanged; what does not gets a
sentence, and every answer leaves with the headers that tell a browser how little it may do with it.
"""

from tidalbay.web.guard.guard import HEADERS, STATION_KEY, Guard
from tidalbay.web.guard.hosts import Hosts
from tidalbay.web.guard.json_body import read_json
from tidalbay.web.guard.rates import Bucket, Rates

__all__ = ["HEADERS", "STATION_KEY", "Bucket", "Guard", "Hosts", "Rates", "read_json"]
