"""Chromium without a window, driven by its own driver, for every test that looks at a page."""
import base64
import pathlib

from selenium import webdriver
from selenium.webdriver.chrome.service import Service

FLAGS = ("headless", "no-sandbox", "disable-gpu", "disable-quic", "no-first-run", "disable-background-networking", "disable-component-update", "disable-sync",
         "disable-dev-shm-usage", "hide-scrollbars")


def start(profile, *more):
    """A browser with a profile of its own in that folder; what the page says to its console is kept."""
    options = webdriver.ChromeOptions()
    options.binary_location = "/usr/bin/chromium"
    for flag in (*FLAGS, *more, f"user-data-dir={profile}"):
        options.add_argument(f"--{flag}")
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(service=Service("/usr/bin/chromedriver"), options=options)
    driver.set_page_load_timeout(30)
    return driver


def show(driver, width, height=1000):
    driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False})


def picture(driver, file):
    data = driver.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})["data"]
    pathlib.Path(file).write_bytes(base64.b64decode(data))
