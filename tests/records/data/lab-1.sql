BEGIN TRANSACTION;
CREATE TABLE in_line (id INTEGER NOT NULL PRIMARY KEY, lab INTEGER NOT NULL REFERENCES lab (id),
            learner VARCHAR(100) NOT NULL, station VARCHAR(100), place INTEGER NOT NULL,
            state VARCHAR(20) NOT NULL, UNIQUE (lab, learner));
INSERT INTO "in_line" VALUES(1,1,'p-1',NULL,0,'waiting');
INSERT INTO "in_line" VALUES(2,1,'p-2','s2',1,'waiting');
CREATE TABLE join_code (code VARCHAR(20) NOT NULL PRIMARY KEY, role VARCHAR(20) NOT NULL,
            station VARCHAR(100), lab INTEGER NOT NULL REFERENCES lab (id),
            expires_utc_ms BIGINT NOT NULL);
INSERT INTO "join_code" VALUES('ABC234','checker','s1',1,2800000000000);
CREATE TABLE lab (id INTEGER NOT NULL PRIMARY KEY, day VARCHAR(10) NOT NULL,
            opened_utc_ms BIGINT NOT NULL, closed_utc_ms BIGINT);
INSERT INTO "lab" VALUES(1,'2026-11-25',1800000000000,NULL);
CREATE TABLE people (id VARCHAR(100) NOT NULL PRIMARY KEY, name VARCHAR(200) NOT NULL);
INSERT INTO "people" VALUES('p-1','Ada Oakley');
CREATE TABLE setting (name VARCHAR(100) NOT NULL PRIMARY KEY, value TEXT NOT NULL);
INSERT INTO "setting" VALUES('gas_here','{"outlet-1": "oxygen"}');
INSERT INTO "setting" VALUES('password_hash','"$argon2id$1"');
CREATE TABLE signed_in (token_sha256 VARCHAR(64) NOT NULL PRIMARY KEY, role VARCHAR(20) NOT NULL,
            station VARCHAR(100), lab INTEGER REFERENCES lab (id), created_utc_ms BIGINT NOT NULL,
            expires_utc_ms BIGINT NOT NULL);
INSERT INTO "signed_in" VALUES('3c469e9d6c5875d37a43f353d4f88e61fcf812c66eee3457465a40b0da4153e0','checker','s1',1,1800000000000,2800000000000);
CREATE TABLE station (id VARCHAR(100) NOT NULL PRIMARY KEY, title VARCHAR(200) NOT NULL,
            place INTEGER NOT NULL);
INSERT INTO "station" VALUES('s1','By the door',0);
COMMIT;
PRAGMA user_version = 1;
