"""A browser for the tests: chromium, spoken to through chromedriver by the W3C WebDriver protocol, without a network.

packages: chromium chromium-driver
"""
import base64
import json
import re
import shutil
import subprocess
import tempfile
import urllib.request

ARGUMENTS = ["--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars", "--no-first-run",
             "--disable-background-networking", "--host-resolver-rules=MAP * ~NOTFOUND", "--force-color-profile=srgb"]


class Browser:
    """One window. dark: what the page is told of the surroundings."""

    def __init__(self, width=1280, height=900, dark=False, language="en-GB"):
        self.profile = tempfile.mkdtemp(prefix="nearmark-browser-")
        self.driver = subprocess.Popen(["chromedriver", "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
        for line in self.driver.stdout:
            port = re.search(r"started successfully on port (\d+)", line)
            if port:
                break
        self.base = f"http://127.0.0.1:{port[1]}"
        options = {"args": ARGUMENTS + [f"--user-data-dir={self.profile}", f"--lang={language}"]}
        options["prefs"] = {"intl.accept_languages": language}
        told = self.ask("POST", "/session", {"capabilities": {"alwaysMatch": {
            "goog:chromeOptions": options, "goog:loggingPrefs": {"browser": "ALL"}}}})
        self.base += f"/session/{told['sessionId']}"
        self.surroundings(width, height, dark)

    def ask(self, method, path, body=None):
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self.base + path, data, {"Content-Type": "application/json"}, method=method)
        try:
            with urllib.request.urlopen(request, timeout=120) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            raise RuntimeError(error.read().decode()) from None

    def command(self, name, **parameters):
        return self.ask("POST", "/goog/cdp/execute", {"cmd": name, "params": parameters})

    def surroundings(self, width, height, dark=False):
        self.command("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        self.command("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark" if dark else "light"}])

    def open(self, path, fragment=""):
        self.ask("POST", "/url", {"url": f"file://{path}{fragment}"})

    def run(self, script, *arguments):
        return self.ask("POST", "/execute/sync", {"script": script, "args": list(arguments)})

    def log(self):
        """What the console was told: errors of scripts, what the policy forbade."""
        return self.ask("POST", "/se/log", {"type": "browser"})

    def press(self, text):
        """Types on the keyboard, wherever the focus is."""
        steps = [{"type": kind, "value": key} for key in text for kind in ("keyDown", "keyUp")]
        self.ask("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": steps}]})

    def picture(self, path, whole=True):
        told = self.command("Page.captureScreenshot", captureBeyondViewport=whole)
        with open(path, "wb") as file:
            file.write(base64.b64decode(told["data"]))

    def whole_picture(self, path):
        size = self.command("Page.getLayoutMetrics")["cssContentSize"]
        told = self.command("Page.captureScreenshot", captureBeyondViewport=True,
                            clip={"x": 0, "y": 0, "width": size["width"], "height": size["height"], "scale": 1})
        with open(path, "wb") as file:
            file.write(base64.b64decode(told["data"]))

    def tree(self):
        """The page as a screen reader is told of it: (role, name) of every node that is not passed over."""
        self.command("Accessibility.enable")
        nodes = self.command("Accessibility.getFullAXTree")["nodes"]
        return [(n.get("role", {}).get("value"), n.get("name", {}).get("value", "")) for n in nodes if not n.get("ignored")]

    def print(self, paper=(21.0, 29.7)):
        return base64.b64decode(self.ask("POST", "/print", {"page": {"width": paper[0], "height": paper[1]}, "background": False}))

    def close(self):
        try:
            self.ask("DELETE", "")
        finally:
            self.driver.terminate()
            self.driver.wait(timeout=20)
            self.driver.stdout.close()
            shutil.rmtree(self.profile, ignore_errors=True)
