import pathlib
import sys

import pytest

for folder in ("web", "python"):
    sys.path.insert(0, str(pathlib.Path(__file__).resolve().parents[1] / folder))
import chromium  # noqa: E402
from built import BUILT  # noqa: E402


@pytest.fixture(scope="session")
def downloads(tmp_path_factory):
    return tmp_path_factory.mktemp("downloads")


@pytest.fixture(scope="session")
def chrome(tmp_path_factory, downloads):
    # No name resolves and no address answers: the page is on its own.
    driver = chromium.start(tmp_path_factory.mktemp("chromium"), "host-resolver-rules=MAP * ~NOTFOUND", "proxy-server=127.0.0.1:9")
    driver.execute_cdp_cmd("Browser.setDownloadBehavior", {"behavior": "allow", "downloadPath": str(downloads)})
    driver.execute_cdp_cmd("Network.enable", {})
    driver.execute_cdp_cmd("Network.emulateNetworkConditions", {"offline": True, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0})
    yield driver
    driver.quit()


@pytest.fixture(scope="session")
def address():
    return lambda kind: (BUILT / f"{kind}.html").as_uri()
