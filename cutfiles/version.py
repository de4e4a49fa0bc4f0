"""The program's version, stated in every file it makes."""

VERSION = "0.1.0"
