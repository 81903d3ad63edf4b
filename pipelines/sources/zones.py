"""The zones that may be named: those of the IANA zone database."""

from zoneinfo import available_timezones

#: Files of the database's folder that are no zones.
_NO_ZONES = {"localtime", "posixrules", "Factory"}
ZONES = frozenset(available_timezones() - _NO_ZONES)
