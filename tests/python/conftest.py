"""A shell that starts a job in the background has it ignore Ctrl-C, and so would every command that the tests start and stop: here it is heard again."""
import signal

signal.signal(signal.SIGINT, signal.default_int_handler)
