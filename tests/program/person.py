"""Someone at a terminal, for tests of what the program asks."""
import os
import pty
import select
import signal
import time


class Person:
    """Someone at a terminal: waits for a prompt, then types."""

    def __init__(self, expect, program, folder, *arguments):
        self.expect = expect
        self.pid, self.terminal = pty.fork()
        if self.pid == 0:
            os.chdir(folder)
            os.execv(program, [program, *arguments])
        self.seen = ""

    def wait_for(self, text, seconds=20):
        until = time.monotonic() + seconds
        while text not in self.seen and time.monotonic() < until:
            if select.select([self.terminal], [], [], 0.2)[0]:
                try:
                    self.seen += os.read(self.terminal, 4096).decode("utf-8", "replace")
                except OSError:
                    break
        found = text in self.seen
        self.expect(f"the terminal shows {text!r}; it shows {self.seen[-300:]!r}", found)
        self.seen = self.seen.split(text, 1)[1] if found else ""

    def types(self, prompt, answer):
        self.wait_for(prompt)
        os.write(self.terminal, (answer + "\n").encode())

    def interrupts(self):
        os.kill(self.pid, signal.SIGINT)

    def status(self):
        try:
            while os.read(self.terminal, 4096):
                pass
        except OSError:
            pass
        _, status = os.waitpid(self.pid, 0)
        os.close(self.terminal)
        return os.waitstatus_to_exitcode(status)
