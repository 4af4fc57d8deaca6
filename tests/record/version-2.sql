-- A record as the second version wrote it, by: sqlite3 record.db .dump (which leaves out the two marks below). Never edited.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE history (           -- versions that the tables have been through
  version INTEGER PRIMARY KEY,
  at TEXT NOT NULL,              -- UTC
  program TEXT NOT NULL);
INSERT INTO history VALUES(1,'2026-03-14T09:30:00Z','tymbal 0.1.0');
INSERT INTO history VALUES(2,'2026-03-14T09:30:00Z','tymbal 0.1.0');
CREATE TABLE content (           -- files that are kept whole
  sha256 TEXT PRIMARY KEY,
  bytes BLOB NOT NULL);
INSERT INTO content VALUES('43e458bc887ed4cc6e30a4c0904b8b8586cb61119ac73273a0e26973fe671d58',X'7469746c65203d2022536b657272792063686970203132220a5b636869705d0a7769647468203d20223130206d6d220a6c656e677468203d20223130206d6d220a746869636b6e657373203d202235323520756d220a5b5b6465766963655d5d0a6e616d65203d20224131220a64657369676e203d20226472756d2e746f6d6c220a706f736974696f6e203d205b2231206d6d222c202230206d6d225d0a');
INSERT INTO content VALUES('05ae726082de80b9748ff5c2145e65a5dc3909f9aff93b94707407bff1e93ef6',X'5b66696c6d5d0a6d6174657269616c203d20226e6974726964652d73746f696368696f6d6574726963220a746869636b6e657373203d2022313030206e6d220a737472657373203d2022312e3030202b2d20302e303320475061220a5b6f75746c696e655d0a7368617065203d202264697363220a6469616d65746572203d202231303020756d220a5b686f6c65735d0a6c617474696365203d2022737175617265220a6469616d65746572203d20223220756d220a7069746368203d20223620756d220a');
CREATE TABLE chip (
  number INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  title TEXT NOT NULL,
  file TEXT NOT NULL,            -- chip file or lone design
  sha256 TEXT NOT NULL);
INSERT INTO chip VALUES(1,'Skerry chip 12','Skerry chip 12','skerry.toml','43e458bc887ed4cc6e30a4c0904b8b8586cb61119ac73273a0e26973fe671d58');
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
INSERT INTO entry VALUES(1,'drawn','Skerry chip 12',NULL,'2026-03-14T09:30:00Z','2026-03-14T09:30:00Z',NULL,NULL,NULL,'d177cd9909c3914203f909be9ca678808b0ae35035fc1179fe7c734315a77542');
INSERT INTO entry VALUES(2,'drawn','Skerry chip 12','A1','2026-03-14T09:30:00Z','2026-03-14T09:30:00Z',NULL,NULL,NULL,'4efb188fc816c3f3f84232ac3c309f8fb17661988ee32197b6afaf58b8c017a0');
INSERT INTO entry VALUES(3,'printed','Skerry chip 12','A1','2026-03-14T09:30:00Z','2026-03-14T09:30:00Z','the keeper','calm sea; ''two'' lines',NULL,'664861f69c9dad2f22be5325fa39075e746c4158f33756e965bd06ca63f06e2a');
INSERT INTO entry VALUES(4,'correction','Skerry chip 12','A1','2026-03-14T09:30:00Z','2026-03-14T09:30:00Z',NULL,NULL,3,'fae05d0d6ea9abf52bad293ff73cc33595d19017fd6c1bba35ca8ca9cbcac1b2');
CREATE TABLE value (
  entry INTEGER NOT NULL REFERENCES entry(number),
  key TEXT NOT NULL,
  text TEXT NOT NULL,            -- as it was written
  value REAL,                    -- SI; null for texts
  deviation REAL,                -- one sigma, SI; null: not stated
  unit TEXT,                     -- SI
  PRIMARY KEY (entry, key)) WITHOUT ROWID;
INSERT INTO value VALUES(1,'film.material','nitride-stoichiometric',NULL,NULL,NULL);
INSERT INTO value VALUES(1,'film.stress','1e9 +- 3e7 Pa',1000000000.0,30000000.0,'Pa');
INSERT INTO value VALUES(1,'film.thickness','1e-7 m',1.000000000000000087e-07,NULL,'m');
INSERT INTO value VALUES(2,'drawn_width','2e-6 m',1.9999999999999999094e-06,NULL,'m');
INSERT INTO value VALUES(2,'fill_factor','0.0872665',0.087266462599716446146,NULL,'1');
INSERT INTO value VALUES(2,'hole_width','2e-6 m',1.9999999999999999094e-06,NULL,'m');
INSERT INTO value VALUES(2,'holes.pitch','6e-6 m',6.0000000000000001517e-06,NULL,'m');
INSERT INTO value VALUES(2,'outline.shape','disc',NULL,NULL,NULL);
INSERT INTO value VALUES(2,'outline_height','0.0001 m',9.9999999999999991239e-05,NULL,'m');
INSERT INTO value VALUES(2,'outline_size','0.0001 m',9.9999999999999991239e-05,NULL,'m');
INSERT INTO value VALUES(2,'outline_width','0.0001 m',9.9999999999999991239e-05,NULL,'m');
INSERT INTO value VALUES(3,'hole_width','2.20 +- 0.02 um',2.2000000000000001121e-06,2.0000000000000000418e-08,'m');
INSERT INTO value VALUES(4,'hole_width','2.22 +- 0.02 um',2.2199999999999999206e-06,2.0000000000000000418e-08,'m');
CREATE TABLE attached (
  entry INTEGER NOT NULL REFERENCES entry(number),
  role TEXT NOT NULL,
  path TEXT NOT NULL,
  sha256 TEXT NOT NULL,          -- a row of content where the file is kept whole
  size INTEGER NOT NULL,
  PRIMARY KEY (entry, role, path)) WITHOUT ROWID;
INSERT INTO attached VALUES(1,'chip','skerry.toml','43e458bc887ed4cc6e30a4c0904b8b8586cb61119ac73273a0e26973fe671d58',158);
INSERT INTO attached VALUES(1,'design','drum.toml','05ae726082de80b9748ff5c2145e65a5dc3909f9aff93b94707407bff1e93ef6',197);
CREATE TABLE seal (              -- left by each addition, against changes that no entry's hash tells
  number INTEGER PRIMARY KEY,    -- 1, 2, 3 ... without gaps
  entry INTEGER,                 -- the last one; null: over a chip
  chip TEXT,                     -- with its devices; null: over an entry
  sha256 TEXT NOT NULL);
INSERT INTO seal VALUES(1,NULL,'Skerry chip 12','a6dce55b2a3b17a54343a2e535b71d861a4054f3f86df2e0b2a636d6a35c57b9');
INSERT INTO seal VALUES(2,2,NULL,'8cfba50308d6fd43f88b0af1333b3d846e2a837172d44411cb5aaa4a319e53ab');
INSERT INTO seal VALUES(3,3,NULL,'8f12f27d998497f46f7649f057f29e4205abeb41a233a68a33c353051690a004');
INSERT INTO seal VALUES(4,4,NULL,'f10138b2f0d4cc99ced20384d37d4d6956d57d651421f01f92e5520f341fb363');
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
CREATE TRIGGER seal_stays BEFORE UPDATE ON seal BEGIN SELECT RAISE(ABORT, 'seals are never changed'); END;
CREATE TRIGGER seal_kept BEFORE DELETE ON seal BEGIN SELECT RAISE(ABORT, 'seals are never removed'); END;
COMMIT;
PRAGMA user_version = 2;
PRAGMA application_id = 1954114914;
