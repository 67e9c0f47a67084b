"""The whole program under faults: real servers that are killed, full disks, lost answers, clocks that jump."""
