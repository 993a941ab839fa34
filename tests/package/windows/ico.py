#!/usr/bin/env python3
"""Pictures in PNG to one .ico, which holds them as they are (Windows Vista and newer read that).

usage: ico.py OUT.ico PNG...
"""

import struct
import sys


def main():
    out, *names = sys.argv[1:]
    pictures = [open(name, "rb").read() for name in names]
    head = struct.pack("<HHH", 0, 1, len(pictures))
    at = len(head) + 16 * len(pictures)
    for data in pictures:
        width, height = struct.unpack(">II", data[16:24])
        head += struct.pack("<BBBBHHII", width % 256, height % 256, 0, 0, 1, 32, len(data), at)
        at += len(data)
    with open(out, "wb") as file:
        file.write(head + b"".join(pictures))


main()
