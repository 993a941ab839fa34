#!/usr/bin/env python3
"""Gives an .msi a package id and a time that do not depend on the day it was made: two builds are the same bytes.

The installer's maker draws an id and takes the clock. Both stand in the summary: the id as text, the two times as numbers
of 100 ns since 1601. They are replaced where they stand, and nothing else is.

usage: steady.py FILE.msi ID SECONDS
"""

import re
import struct
import sys

# FMTID_SummaryInformation, as it stands in the stream.
SUMMARY = bytes.fromhex("e0859ff2f94f6810ab9108002b27b3d9")
ID, CREATED, SAVED = 9, 12, 13
FILETIME = 0x40
EPOCH_1601_S = 11_644_473_600


def main():
    path, new_id, seconds = sys.argv[1:]
    data = bytearray(open(path, "rb").read())
    heads = [found.start() for found in re.finditer(re.escape(SUMMARY), data)]
    assert len(heads) == 1, heads
    # The stream begins 28 bytes before the id of its one section; the section's offset follows that id.
    start = heads[0] - 28
    section = start + struct.unpack_from("<I", data, heads[0] + 16)[0]
    _, count = struct.unpack_from("<II", data, section)
    places = dict(struct.unpack_from("<II", data, section + 8 + 8 * n) for n in range(count))
    text = f"{{{new_id}}}".encode()
    at = section + places[ID]
    length = struct.unpack_from("<I", data, at + 4)[0]
    assert re.fullmatch(rb"\{[0-9A-F-]{36}\}\0*", data[at + 8 : at + 8 + length]), data[at : at + 60]
    data[at + 8 : at + 8 + len(text)] = text
    ticks = (int(seconds) + EPOCH_1601_S) * 10_000_000
    for which in (CREATED, SAVED):
        at = section + places[which]
        assert struct.unpack_from("<I", data, at)[0] == FILETIME
        struct.pack_into("<Q", data, at + 4, ticks)
    open(path, "wb").write(data)


main()
