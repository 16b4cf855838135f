"""Progress is shown on a terminal when a check takes over a second, and nowhere else.

Usage: progress.py <coldbag>    a log arrives slowly on standard input; standard error is a terminal, then a pipe
"""

import os
import pty
import subprocess
import sys
import time

LOG = "elapsed (min),Core (C)\n" + "".join(f"{i},{20 + i}\n" for i in range(60))
SLOW_S = 1.7


def run(program, stderr, wait_s):
    """The exit status of a check whose log ends only after a while."""
    arguments = [program, "check", "-"]
    with subprocess.Popen(arguments, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL, stderr=stderr) as check:
        time.sleep(wait_s)
        check.stdin.write(LOG.encode())
        check.stdin.close()
        return check.wait(timeout=60)


def on_terminal(program, wait_s):
    """What a terminal was shown, and the exit status."""
    ours, theirs = pty.openpty()
    status = run(program, theirs, wait_s)
    os.close(theirs)
    shown = b""
    try:
        while part := os.read(ours, 4096):
            shown += part
    except OSError:  # a terminal whose other side is closed
        pass
    os.close(ours)
    return shown.decode(), status


def on_pipe(program, wait_s):
    """What a pipe was given, and the exit status."""
    ours, theirs = os.pipe()
    status = run(program, theirs, wait_s)
    os.close(theirs)
    with os.fdopen(ours, "rb") as pipe:
        return pipe.read().decode(), status


def main(arguments):
    if len(arguments) != 1:
        print(__doc__, file=sys.stderr)
        return 64
    program, faults = arguments[0], []
    shown, status = on_terminal(program, SLOW_S)
    if "0 of 1 judged" not in shown or not shown.endswith("\r\x1b[K") or status != 2:
        faults.append(f"on a terminal: {shown!r}, status {status}")
    shown, status = on_pipe(program, SLOW_S)
    if shown or status != 2:
        faults.append(f"on a pipe: {shown!r}, status {status}")
    for fault in faults:
        print(fault, file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
