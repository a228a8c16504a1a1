"""A private PostgreSQL server for a proof, and a shell to it."""
import glob
import os
import subprocess
import tempfile

import ledger as tools

SCRIPT = os.path.join(tools.ROOT, "scripts", "private_postgres")


class Server:
    """Started on entry, stopped on exit; address is None where PostgreSQL is not installed."""

    def __enter__(self):
        self.folder = tempfile.mkdtemp(prefix="prove-pg-")
        os.chmod(self.folder, 0o755)
        done = subprocess.run([SCRIPT, "start", os.path.join(self.folder, "server"), "fsync"], stdout=subprocess.PIPE,
                              text=True)
        self.address = done.stdout.split()[-1] if done.returncode == 0 else None
        self.count = 0
        return self

    def __exit__(self, *_):
        if self.address:
            subprocess.run([SCRIPT, "stop", os.path.join(self.folder, "server")])
        os.rmdir(self.folder)

    def database(self):
        """The address of a new empty database."""
        self.count += 1
        name = "proof_%d" % self.count
        self.sql(self.address, "CREATE DATABASE %s" % name)
        return self.address.rsplit("/", 1)[0] + "/" + name

    @staticmethod
    def sql(address, statements):
        psql = sorted(glob.glob("/usr/lib/postgresql/*/bin/psql"))[-1]
        done = subprocess.run([psql, "-X", "-q", "-t", "-A", "-v", "ON_ERROR_STOP=1", address], input=statements, text=True,
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
        if done.returncode:
            raise RuntimeError(done.stdout)
        return done.stdout.strip()
