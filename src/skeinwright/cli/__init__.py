"""The command line: each command reads its options, calls one service and prints what comes back."""
