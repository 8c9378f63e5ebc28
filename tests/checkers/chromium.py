"""Drives a headless Chromium over its DevTools pipe, with the standard library only.

The browser is the program that LINEWRIGHT_CHROMIUM names, else the first of the usual
names on PATH. It runs in a folder of its own, which goes away with it.
"""

import base64
import json
import os
import select
import shutil
import subprocess
import tempfile
import time

NAMES = ["chromium", "chromium-browser", "google-chrome", "chrome"]


def program():
    told = os.environ.get("LINEWRIGHT_CHROMIUM")
    names = [told] if told else NAMES
    found = next((path for path in map(shutil.which, names) if path), None)
    if not found:
        raise SystemExit(
            f"there is no program {' or '.join(names)}: install Chromium (Debian: apt-get "
            "install chromium), or name its program in LINEWRIGHT_CHROMIUM"
        )
    return found


class Browser:
    """A browser with one page at a time."""

    def __enter__(self):
        self.folder = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        from_us, self.to = os.pipe()
        self.back, to_us = os.pipe()
        # The browser reads commands from 3 and answers on 4.
        plumbing = f"exec 3<&{from_us} 4>&{to_us}; exec \"$@\""
        self.process = subprocess.Popen(
            ["bash", "-c", plumbing, "chromium", program(), "--headless=new", "--remote-debugging-pipe",
             "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--mute-audio",
             "--autoplay-policy=no-user-gesture-required", "--hide-scrollbars",
             f"--user-data-dir={self.folder.name}/profile", "about:blank"],
            pass_fds=[from_us, to_us],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        os.close(from_us)
        os.close(to_us)
        self.number = 0
        self.rest = b""
        self.events = []
        self.session = None
        return self

    def __exit__(self, *_):
        try:
            self.call("Browser.close", whole=True, limit=10)
        except Exception:
            self.process.kill()
        self.process.wait(20)
        self.folder.cleanup()

    def read(self, until):
        """The next message."""
        while b"\0" not in self.rest:
            left = until - time.monotonic()
            if left <= 0 or not select.select([self.back], [], [], left)[0]:
                raise TimeoutError("Chromium does not answer")
            got = os.read(self.back, 1 << 20)
            if not got:
                raise RuntimeError("Chromium has ended")
            self.rest += got
        message, self.rest = self.rest.split(b"\0", 1)
        return json.loads(message)

    def call(self, method, whole=False, limit=60, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if self.session and not whole:
            message["sessionId"] = self.session
        os.write(self.to, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + limit
        while True:
            answer = self.read(until)
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self.events.append(answer)

    def open(self, path, before="", width=1200, height=900, dark=False):
        """Opens a file in a new page; `before` runs in it before its own scripts."""
        target = self.call("Target.createTarget", whole=True, url="about:blank")["targetId"]
        attached = self.call("Target.attachToTarget", whole=True, targetId=target, flatten=True)
        self.session = attached["sessionId"]
        self.events = []
        for domain in ["Page", "Runtime", "Log", "Network"]:
            self.call(f"{domain}.enable")
        self.call("Page.addScriptToEvaluateOnNewDocument", source=before)
        self.call("Emulation.setDeviceMetricsOverride", width=width, height=height,
                  deviceScaleFactor=1, mobile=width < 600)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.call("Emulation.setEmulatedMedia", features=[scheme])
        self.call("Page.navigate", url=f"file://{path}")
        self.wait("document.readyState === 'complete'")

    def run(self, expression, limit=60):
        """The value of an expression in the page, awaited if it is a promise."""
        told = self.call("Runtime.evaluate", limit=limit, expression=expression,
                         awaitPromise=True, returnByValue=True, userGesture=True)
        if "exceptionDetails" in told:
            raise RuntimeError(f"{expression}: {told['exceptionDetails']}")
        return told["result"].get("value")

    def wait(self, expression, limit=60):
        until = time.monotonic() + limit
        while not self.run(expression):
            if time.monotonic() > until:
                raise TimeoutError(f"never: {expression}")
            time.sleep(0.02)

    def key(self, key, code=None, text=None):
        for kind in ["keyDown", "keyUp"]:
            more = {"text": text} if text and kind == "keyDown" else {}
            self.call("Input.dispatchKeyEvent", type=kind, key=key, code=code or key, **more)

    def click(self, selector):
        """A press of the mouse on the middle of an element, scrolled into view."""
        box = self.run(
            f"(() => {{ const e = document.querySelector({json.dumps(selector)});"
            "e.scrollIntoView({block: 'center'}); const b = e.getBoundingClientRect();"
            "return [b.x + b.width / 2, b.y + b.height / 2]; })()"
        )
        for kind in ["mouseMoved", "mousePressed", "mouseReleased"]:
            self.call("Input.dispatchMouseEvent", type=kind, x=box[0], y=box[1],
                      button="none" if kind == "mouseMoved" else "left", clickCount=1)

    def complaints(self):
        """Everything in the console that is no plain message, and every address asked for."""
        self.run("1")
        found = []
        for event in self.events:
            method, params = event.get("method"), event.get("params", {})
            if method == "Runtime.exceptionThrown":
                found.append(json.dumps(params["exceptionDetails"]))
            elif method == "Log.entryAdded" and params["entry"]["level"] in ("warning", "error"):
                found.append(params["entry"]["text"])
            elif method == "Runtime.consoleAPICalled" and params["type"] in ("warning", "error"):
                found.append(json.dumps(params["args"]))
            elif method == "Network.requestWillBeSent":
                url = params["request"]["url"]
                if not url.startswith(("file:", "data:")):
                    found.append(f"asks for {url}")
        return found

    def screenshot(self, path):
        shot = self.call("Page.captureScreenshot", format="png")
        with open(path, "wb") as file:
            file.write(base64.b64decode(shot["data"]))

    def pdf(self):
        told = self.call("Page.printToPDF", preferCSSPageSize=True, printBackground=True)
        return base64.b64decode(told["data"])
