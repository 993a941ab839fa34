-- Two roles: one that gathers and one that reads. Run once by the database's owner; passwords are set apart from this.
CREATE ROLE cuffnote_writer LOGIN;
CREATE ROLE cuffnote_reader LOGIN;
CREATE SCHEMA IF NOT EXISTS cuffnote AUTHORIZATION cuffnote_writer;
GRANT USAGE ON SCHEMA cuffnote TO cuffnote_reader;
ALTER DEFAULT PRIVILEGES FOR ROLE cuffnote_writer IN SCHEMA cuffnote GRANT SELECT ON TABLES TO cuffnote_reader;
