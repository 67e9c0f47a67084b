"""Tables that people bring: files read into rows, columns matched, cells read, rows judged."""
