// Package relational is what the stores on SQLite and PostgreSQL have in common: the
// statements that both databases understand, and the rows they give. What differs
// between them, how a transaction is begun, ended and repeated, how its errors are
// told apart and how the tables are made, stands in the packages of the databases.
//
// It knows the interface of service/quoting and nothing of any database driver.
package relational
