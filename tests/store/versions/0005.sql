PRAGMA application_id = 1398031681;
BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0005');
CREATE TABLE answered (
	household_id TEXT NOT NULL, 
	request_id TEXT NOT NULL, 
	asked TEXT NOT NULL, 
	status BIGINT NOT NULL, 
	body TEXT NOT NULL, 
	at DATETIME NOT NULL, 
	CONSTRAINT pk_answered PRIMARY KEY (household_id, request_id)
);
CREATE TABLE code (
	secret TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	made_by TEXT NOT NULL, 
	uses BIGINT NOT NULL, 
	wrong BIGINT NOT NULL, 
	made_at DATETIME NOT NULL, 
	ends_at DATETIME NOT NULL, 
	CONSTRAINT pk_code PRIMARY KEY (secret)
);
CREATE TABLE course_version (
	household_id TEXT NOT NULL, 
	since DATE NOT NULL, 
	digest TEXT NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_course_version PRIMARY KEY (household_id, since), 
	CONSTRAINT fk_course_version_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "course_version" VALUES('home','2027-01-04','d1','{"title": "Three weeks"}');
CREATE TABLE feed (
	secret TEXT NOT NULL, 
	feed_id TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	holds TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	seen_at DATETIME, 
	CONSTRAINT pk_feed PRIMARY KEY (secret), 
	CONSTRAINT uq_feed_feed_id UNIQUE (feed_id)
);
INSERT INTO "feed" VALUES('5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d5d','f1','home','p1','Ana''s calendar','jobs,dues','2027-01-04 07:30:00.000000',NULL);
CREATE TABLE household (
	household_id TEXT NOT NULL, 
	course TEXT NOT NULL, 
	zone TEXT NOT NULL, 
	day_starts TIME NOT NULL, 
	week_starts TEXT DEFAULT 'monday' NOT NULL, 
	version BIGINT NOT NULL, 
	created_at DATETIME NOT NULL, 
	CONSTRAINT pk_household PRIMARY KEY (household_id)
);
INSERT INTO "household" VALUES('home','three-weeks','Europe/Lisbon','03:00:00.000000','monday',1795601981260202,'2026-11-25 09:53:32.455006');
CREATE TABLE log (
	household_id TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	date DATE NOT NULL, 
	what TEXT NOT NULL, 
	step TEXT NOT NULL, 
	value TEXT NOT NULL, 
	logged_at DATETIME NOT NULL, 
	request_id TEXT, "by" TEXT DEFAULT '' NOT NULL, version BIGINT, tapped_at DATETIME, 
	CONSTRAINT pk_log PRIMARY KEY (household_id, seq), 
	CONSTRAINT uq_log_household_id_request_id UNIQUE (household_id, request_id), 
	CONSTRAINT fk_log_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "log" VALUES('home',1,'2027-01-04','start','bed-made','standard','2027-01-04 07:30:00.000000',NULL,'',NULL,NULL);
INSERT INTO "log" VALUES('home',2,'2027-01-04','kept','bed-made','','2027-01-04 07:30:00.000000','first-request','',NULL,NULL);
CREATE TABLE member (
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	role TEXT NOT NULL, 
	since DATETIME NOT NULL, 
	CONSTRAINT pk_member PRIMARY KEY (household_id, person_id)
);
INSERT INTO "member" VALUES('home','p1','keeper','2027-01-04 07:30:00.000000');
CREATE TABLE message (
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	claimed_at DATETIME NOT NULL, 
	outcome TEXT NOT NULL, 
	CONSTRAINT pk_message PRIMARY KEY (household_id, person_id, name)
);
INSERT INTO "message" VALUES('home','p1','2027-01-04','2027-01-04 07:30:00.000000','sent');
CREATE TABLE person (
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_person PRIMARY KEY (person_id)
);
INSERT INTO "person" VALUES('p1','Ana','2027-01-04 07:30:00.000000');
CREATE TABLE plan_log (
	household_id TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	date DATE NOT NULL, 
	what TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	value TEXT NOT NULL, 
	logged_at DATETIME NOT NULL, 
	request_id TEXT, "by" TEXT DEFAULT '' NOT NULL, 
	CONSTRAINT pk_plan_log PRIMARY KEY (household_id, seq), 
	CONSTRAINT uq_plan_log_household_id_request_id UNIQUE (household_id, request_id), 
	CONSTRAINT fk_plan_log_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "plan_log" VALUES('home',1,'2027-01-04','dinner','2027-01-04','"soup"','2027-01-04 07:30:00.000000','first-plan','');
INSERT INTO "plan_log" VALUES('home',2,'2027-01-04','todo','a','"Fix the tap"','2027-01-04 07:30:00.000000',NULL,'');
INSERT INTO "plan_log" VALUES('home',3,'2027-01-05','dinner','2027-01-05','"rice"','2027-01-04 07:30:00.000000',NULL,'');
INSERT INTO "plan_log" VALUES('home',4,'2027-01-04','dinner','2027-01-04','"stew"','2027-01-04 07:30:00.000000',NULL,'');
INSERT INTO "plan_log" VALUES('home',5,'2027-01-05','dinner','2027-01-05','','2027-01-04 07:30:00.000000',NULL,'');
CREATE TABLE plan_state (
	household_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	through DATE NOT NULL, 
	digest TEXT NOT NULL, 
	state TEXT NOT NULL, 
	CONSTRAINT pk_plan_state PRIMARY KEY (household_id, name, through), 
	CONSTRAINT fk_plan_state_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "plan_state" VALUES('home','rotation','2027-01-04','d1','{"turn": 2}');
CREATE TABLE plan_value (
	household_id TEXT NOT NULL, 
	what TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	value TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	CONSTRAINT pk_plan_value PRIMARY KEY (household_id, what, "key"), 
	CONSTRAINT fk_plan_value_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "plan_value" VALUES('home','todo','a','"Fix the tap"',2);
INSERT INTO "plan_value" VALUES('home','dinner','2027-01-04','"stew"',4);
CREATE TABLE reminder (
	reminder_id TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	way TEXT NOT NULL, 
	address TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	auth TEXT NOT NULL, 
	device TEXT NOT NULL, 
	at TIME NOT NULL, 
	next_at DATETIME NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_reminder PRIMARY KEY (reminder_id), 
	CONSTRAINT uq_reminder_household_id_person_id UNIQUE (household_id, person_id)
);
INSERT INTO "reminder" VALUES('r1','home','p1','mail','ana@example.org','','','','07:00:00.000000','2027-01-04 07:30:00.000000','2027-01-04 07:30:00.000000');
CREATE TABLE service_key (
	name TEXT NOT NULL, 
	secret TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	CONSTRAINT pk_service_key PRIMARY KEY (name)
);
INSERT INTO "service_key" VALUES('stop','a key','2027-01-04 07:30:00.000000');
CREATE TABLE session (
	secret TEXT NOT NULL, 
	session_id TEXT NOT NULL, 
	household_id TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	scope TEXT NOT NULL, 
	name TEXT NOT NULL, 
	made_at DATETIME NOT NULL, 
	seen_at DATETIME NOT NULL, 
	ends_at DATETIME NOT NULL, 
	CONSTRAINT pk_session PRIMARY KEY (secret), 
	CONSTRAINT uq_session_session_id UNIQUE (session_id)
);
INSERT INTO "session" VALUES('ab','s1','home','p1','browser','write','kitchen phone','2027-01-04 07:30:00.000000','2027-01-04 07:30:00.000000','2028-01-04 07:30:00.000000');
CREATE TABLE sign_in (
	household_id TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	at DATETIME NOT NULL, 
	way TEXT NOT NULL, 
	outcome TEXT NOT NULL, 
	person_id TEXT NOT NULL, 
	name TEXT NOT NULL, 
	address TEXT NOT NULL, 
	CONSTRAINT pk_sign_in PRIMARY KEY (household_id, seq)
);
INSERT INTO "sign_in" VALUES('home',1,'2027-01-04 07:30:00.000000','pairing','let in','p1','kitchen phone','192.168.0.7');
CREATE TABLE standing (
	household_id TEXT NOT NULL, 
	through DATE NOT NULL, 
	digest TEXT NOT NULL, 
	state TEXT NOT NULL, 
	CONSTRAINT pk_standing PRIMARY KEY (household_id, through), 
	CONSTRAINT fk_standing_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "standing" VALUES('home','2027-01-04','d1','{}');
CREATE TABLE tally (
	"key" TEXT NOT NULL, 
	since DATETIME NOT NULL, 
	count BIGINT NOT NULL, 
	CONSTRAINT pk_tally PRIMARY KEY ("key")
);
CREATE INDEX ix_log_household_id_date ON log (household_id, date);
CREATE INDEX ix_log_decisions ON log (household_id, step, logged_at) WHERE what NOT IN ('clear', 'excused', 'kept', 'missed', 'small');
CREATE TRIGGER log_is_append_only BEFORE UPDATE ON log BEGIN SELECT RAISE(ABORT, 'rows of the log are never changed'); END;
CREATE INDEX ix_plan_log_household_id_what_key_seq ON plan_log (household_id, what, "key", seq);
CREATE INDEX ix_plan_state_household_id_through ON plan_state (household_id, through);
CREATE TRIGGER plan_log_is_append_only BEFORE UPDATE ON plan_log BEGIN SELECT RAISE(ABORT, 'rows of the plan are never changed'); END;
CREATE INDEX ix_member_person_id ON member (person_id);
CREATE INDEX ix_session_household_id ON session (household_id);
CREATE INDEX ix_session_person_id ON session (person_id);
CREATE INDEX ix_code_household_id ON code (household_id);
CREATE INDEX ix_answered_household_id_at ON answered (household_id, at);
CREATE INDEX ix_feed_household_id ON feed (household_id);
CREATE INDEX ix_reminder_next_at ON reminder (next_at);
COMMIT;
