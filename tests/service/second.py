"""A second FHIR R4 server on loopback, of another making than router.mjs: sekmet-fhir, in Python, with SQLite behind it.

It takes transactions whole or not at all, keeps every version, and refuses a resource that the models of
`fhir.resources` refuse. It prints its address, and serves until its standard input ends. Usage: second.py, in a folder of its own
"""

import pathlib
import socket
import sys
import threading

import uvicorn
from sekmet.config import Settings
from sekmet.main import create_app

folder = pathlib.Path.cwd()
listening = socket.create_server(("127.0.0.1", 0))
port = listening.getsockname()[1]
settings = Settings(
    base_url=f"http://127.0.0.1:{port}/fhir",
    host="127.0.0.1",
    port=port,
    data_dir=str(folder),
    db_path=str(folder / "second.sqlite"),
    own_private_key_path=str(folder / "key.pem"),
    validation={"inbound": "strict"},
    # It plays laboratories and payers too; here it only keeps what it is sent.
    simulator={"enabled": False},
    log_inbound=False,
)
server = uvicorn.Server(uvicorn.Config(create_app(settings), log_level="error"))
threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True).start()
print(settings.base_url, flush=True)
sys.stdin.read()
server.should_exit = True
