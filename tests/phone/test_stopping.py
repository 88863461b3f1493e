"""What is left running when the server ends, well or badly: nothing, once it has been stopped."""

from tests.phone.server_process import Server


def test_the_database_of_a_server_that_was_killed_stops_with_the_next_one(server: Server) -> None:
    running = server.data / "postgres" / "postmaster.pid"

    server.kill()
    assert running.exists()
    server.start()
    server.stop()

    assert not running.exists()
