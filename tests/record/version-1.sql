-- A record as the first version wrote it, by: sqlite3 record.db .dump (which leaves out the two marks below). Never edited.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE history (           -- versions that the tables have been through
  version INTEGER PRIMARY KEY,
  at TEXT NOT NULL,              -- UTC
  program TEXT NOT NULL);
INSERT INTO history VALUES(1,'2026-03-14T09:30:00Z','tymbal 0.1.0');
CREATE TABLE content (           -- files that are kept whole
  sha256 TEXT PRIMARY KEY,
  bytes BLOB NOT NULL);
INSERT INTO content VALUES('91f89c02becd17f3fac55240c179f62b2490ab359f7ab88c776bdf02c416aba1',X'7469746c65203d2022536b657272792063686970203132220a');
CREATE TABLE chip (
  number INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  title TEXT NOT NULL,
  file TEXT NOT NULL,            -- chip file or lone design
  sha256 TEXT NOT NULL);
INSERT INTO chip VALUES(1,'Skerry chip 12','Skerry chip 12','skerry.toml','91f89c02becd17f3fac55240c179f62b2490ab359f7ab88c776bdf02c416aba1');
CREATE TABLE device (
  number INTEGER PRIMARY KEY,
  chip TEXT NOT NULL REFERENCES chip(name),
  name TEXT NOT NULL,
  x_m REAL NOT NULL,             -- origin from the chip's centre
  y_m REAL NOT NULL,
  design TEXT NOT NULL,          -- file
  UNIQUE (chip, name));
INSERT INTO device VALUES(1,'Skerry chip 12','A1',0.0010000000000000000208,0.0,'drum.toml');
CREATE TABLE entry (
  number INTEGER PRIMARY KEY,    -- 1, 2, 3 ... without gaps
  step TEXT NOT NULL,
  chip TEXT NOT NULL REFERENCES chip(name),
  device TEXT,                   -- null: the whole chip
  date TEXT NOT NULL,            -- UTC, when it happened
  recorded TEXT NOT NULL,        -- UTC, when it was added
  person TEXT,
  note TEXT,
  corrects INTEGER REFERENCES entry(number),
  sha256 TEXT NOT NULL);
INSERT INTO entry VALUES(1,'drawn','Skerry chip 12',NULL,'2026-03-14T09:30:00Z','2026-03-14T09:30:00Z',NULL,NULL,NULL,'3ecff2f9b274070be07b4889a4a1105468bd5bf6d83b86c7cb7c958f39ea3d53');
INSERT INTO entry VALUES(2,'drawn','Skerry chip 12','A1','2026-03-14T09:30:00Z','2026-03-14T09:30:00Z',NULL,NULL,NULL,'c1e11b227fbea70f26ea17fbb61a7f884feded145eb1d2b481a356b1f0a96d8f');
INSERT INTO entry VALUES(3,'printed','Skerry chip 12','A1','2026-03-14T09:30:00Z','2026-03-14T09:30:00Z','the keeper','calm sea; ''two'' lines',NULL,'44e1cbf161db4ddab427bbf529540996d32c21e6748acb6a01d80f7598299676');
INSERT INTO entry VALUES(4,'correction','Skerry chip 12','A1','2026-03-14T09:30:00Z','2026-03-14T09:30:00Z',NULL,NULL,3,'19a8b6d3502964be50b6b64475146f8619204e6ce85bdbbd815b60a4dcc47c94');
CREATE TABLE value (
  entry INTEGER NOT NULL REFERENCES entry(number),
  key TEXT NOT NULL,
  text TEXT NOT NULL,            -- as it was written
  value REAL,                    -- SI; null for texts
  deviation REAL,                -- one sigma, SI; null: not stated
  unit TEXT,                     -- SI
  PRIMARY KEY (entry, key)) WITHOUT ROWID;
INSERT INTO value VALUES(1,'film.stress','1.00 +- 0.03 GPa',1000000000.0,30000000.0,'Pa');
INSERT INTO value VALUES(2,'drawn_width','2 um',1.9999999999999999094e-06,NULL,'m');
INSERT INTO value VALUES(3,'hole_width','2.20 +- 0.02 um',2.2000000000000001121e-06,2.0000000000000000418e-08,'m');
INSERT INTO value VALUES(4,'hole_width','2.22 +- 0.02 um',2.2199999999999999206e-06,2.0000000000000000418e-08,'m');
CREATE TABLE attached (
  entry INTEGER NOT NULL REFERENCES entry(number),
  role TEXT NOT NULL,
  path TEXT NOT NULL,
  sha256 TEXT NOT NULL,          -- a row of content where the file is kept whole
  size INTEGER NOT NULL,
  PRIMARY KEY (entry, role, path)) WITHOUT ROWID;
INSERT INTO attached VALUES(1,'chip','skerry.toml','91f89c02becd17f3fac55240c179f62b2490ab359f7ab88c776bdf02c416aba1',25);
CREATE INDEX entry_of_chip ON entry (chip, number);
CREATE TRIGGER chip_stays BEFORE UPDATE ON chip BEGIN SELECT RAISE(ABORT, 'chips are never changed'); END;
CREATE TRIGGER chip_kept BEFORE DELETE ON chip BEGIN SELECT RAISE(ABORT, 'chips are never removed'); END;
CREATE TRIGGER device_stays BEFORE UPDATE ON device BEGIN SELECT RAISE(ABORT, 'devices are never changed'); END;
CREATE TRIGGER device_kept BEFORE DELETE ON device BEGIN SELECT RAISE(ABORT, 'devices are never removed'); END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed; add a correction'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never removed; add a correction'); END;
CREATE TRIGGER value_stays BEFORE UPDATE ON value BEGIN SELECT RAISE(ABORT, 'values are never changed; add a correction'); END;
CREATE TRIGGER value_kept BEFORE DELETE ON value BEGIN SELECT RAISE(ABORT, 'values are never removed; add a correction'); END;
CREATE TRIGGER attached_stays BEFORE UPDATE ON attached BEGIN SELECT RAISE(ABORT, 'hashes are never changed'); END;
CREATE TRIGGER attached_kept BEFORE DELETE ON attached BEGIN SELECT RAISE(ABORT, 'hashes are never removed'); END;
CREATE TRIGGER content_stays BEFORE UPDATE ON content BEGIN SELECT RAISE(ABORT, 'kept files are never changed'); END;
CREATE TRIGGER content_kept BEFORE DELETE ON content BEGIN SELECT RAISE(ABORT, 'kept files are never removed'); END;
COMMIT;
PRAGMA user_version = 1;
PRAGMA application_id = 1954114914;
