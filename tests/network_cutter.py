"""A cutter's network interface for tests: takes one job after another, acknowledges all of it."""

import socket
import threading


class NetworkCutter:
    """Over loopback; `jobs` is what came, one by one; it hangs up after `most` bytes, if told."""

    def __init__(self, most=None):
        self.jobs, self.most = [], most
        self.server = socket.create_server(("127.0.0.1", 0))
        self.to = f"tcp:127.0.0.1:{self.server.getsockname()[1]}"
        threading.Thread(target=self._serve, daemon=True).start()

    def _serve(self):
        while True:
            try:
                far, _ = self.server.accept()
            except OSError:
                return
            got = bytearray()
            self.jobs.append(got)
            with far:
                while data := far.recv(64 if self.most else 4096):
                    got += data
                    if self.most and len(got) >= self.most:
                        break

    def end(self):
        self.server.close()
