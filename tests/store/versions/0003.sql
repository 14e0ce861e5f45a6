PRAGMA application_id = 1398031681;
BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0003');
CREATE TABLE course_version (
	household_id TEXT NOT NULL, 
	since DATE NOT NULL, 
	digest TEXT NOT NULL, 
	content TEXT NOT NULL, 
	CONSTRAINT pk_course_version PRIMARY KEY (household_id, since), 
	CONSTRAINT fk_course_version_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "course_version" VALUES('home','2027-01-04','d1','{"title": "Three weeks"}');
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
	request_id TEXT, 
	CONSTRAINT pk_log PRIMARY KEY (household_id, seq), 
	CONSTRAINT uq_log_household_id_request_id UNIQUE (household_id, request_id), 
	CONSTRAINT fk_log_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "log" VALUES('home',1,'2027-01-04','start','bed-made','standard','2027-01-04 07:30:00.000000',NULL);
INSERT INTO "log" VALUES('home',2,'2027-01-04','kept','bed-made','','2027-01-04 07:30:00.000000','first-request');
CREATE TABLE plan_log (
	household_id TEXT NOT NULL, 
	seq BIGINT NOT NULL, 
	date DATE NOT NULL, 
	what TEXT NOT NULL, 
	"key" TEXT NOT NULL, 
	value TEXT NOT NULL, 
	logged_at DATETIME NOT NULL, 
	request_id TEXT, 
	CONSTRAINT pk_plan_log PRIMARY KEY (household_id, seq), 
	CONSTRAINT uq_plan_log_household_id_request_id UNIQUE (household_id, request_id), 
	CONSTRAINT fk_plan_log_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "plan_log" VALUES('home',1,'2027-01-04','dinner','2027-01-04','"soup"','2027-01-04 07:30:00.000000','first-plan');
INSERT INTO "plan_log" VALUES('home',2,'2027-01-04','todo','a','"Fix the tap"','2027-01-04 07:30:00.000000',NULL);
INSERT INTO "plan_log" VALUES('home',3,'2027-01-05','dinner','2027-01-05','"rice"','2027-01-04 07:30:00.000000',NULL);
INSERT INTO "plan_log" VALUES('home',4,'2027-01-04','dinner','2027-01-04','"stew"','2027-01-04 07:30:00.000000',NULL);
INSERT INTO "plan_log" VALUES('home',5,'2027-01-05','dinner','2027-01-05','','2027-01-04 07:30:00.000000',NULL);
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
CREATE TABLE standing (
	household_id TEXT NOT NULL, 
	through DATE NOT NULL, 
	digest TEXT NOT NULL, 
	state TEXT NOT NULL, 
	CONSTRAINT pk_standing PRIMARY KEY (household_id, through), 
	CONSTRAINT fk_standing_household FOREIGN KEY(household_id) REFERENCES household (household_id)
);
INSERT INTO "standing" VALUES('home','2027-01-04','d1','{}');
CREATE INDEX ix_log_household_id_date ON log (household_id, date);
CREATE TRIGGER log_is_append_only BEFORE UPDATE ON log BEGIN SELECT RAISE(ABORT, 'rows of the log are never changed'); END;
CREATE INDEX ix_plan_log_household_id_what_key_seq ON plan_log (household_id, what, "key", seq);
CREATE INDEX ix_plan_state_household_id_through ON plan_state (household_id, through);
CREATE TRIGGER plan_log_is_append_only BEFORE UPDATE ON plan_log BEGIN SELECT RAISE(ABORT, 'rows of the plan are never changed'); END;
COMMIT;
