"""Reads feed.ics with another program's reader and writes down what it found.

How feed.read-back.csv was made, on Debian 12 with python3-icalendar 4.0.3-5, in
this folder, after feed.ics was written by `go test -run Python -update`:

    /usr/bin/python3 read_back.py < feed.ics > feed.read-back.csv

The test needs Go alone: it holds the events that were written against the table.
"""
import csv
import sys

import icalendar

calendar = icalendar.Calendar.from_ical(sys.stdin.buffer.read())
assert not calendar.errors, calendar.errors
out = csv.writer(sys.stdout, lineterminator="\n")
out.writerow("uid stamp start end sequence summary description category transparent alarm_min".split())
for event in calendar.walk("VEVENT"):
    assert not event.errors, event.errors
    alarms = event.walk("VALARM")
    categories = event.get("categories")
    out.writerow([
        event["uid"],
        event["dtstamp"].dt.isoformat(),
        event["dtstart"].dt.isoformat(),
        event["dtend"].dt.isoformat(),
        event["sequence"],
        event["summary"],
        event.get("description", ""),
        categories.to_ical().decode() if categories else "",
        "true" if event.get("transp") == "TRANSPARENT" else "false",
        int(alarms[0]["trigger"].dt.total_seconds() // 60) if alarms else "",
    ])
