#include "database.h"

#include "tymbal/base/error.h"

#include <sqlite3.h>

#include <limits>

namespace tymbal {

namespace {

/// The path as a URI, so that a name with ? or # stays a name.
std::string uri_of(const std::string& path, const char* parameters) {
    std::string uri = path.front() == '/' ? "file://" : "file:";
    for (const char c : path) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '/' ||
                           c == '.' || c == '-' || c == '_';
        if (plain) {
            uri.push_back(c);
            continue;
        }
        const auto byte = static_cast<unsigned char>(c);
        uri.push_back('%');
        uri.push_back("0123456789ABCDEF"[byte >> 4U]);
        uri.push_back("0123456789ABCDEF"[byte & 15U]);
    }
    return uri.append(parameters);
}

std::string words_for(int code) {
    switch (code & 0xFF) {
        case SQLITE_NOTADB: return "is no record: not an SQLite database; give the file that `tymbal record new` made";
        case SQLITE_CORRUPT:
            return "is damaged and nothing was added; take the last good copy, `tymbal record check` says more";
        case SQLITE_FULL: return "could not be written in full, and nothing was added; is the disk full?";
        case SQLITE_IOERR:
            return "could not be read or written in full, and nothing was added; is the disk full or gone?";
        case SQLITE_BUSY:
        case SQLITE_LOCKED: return "is being written by another program, and nothing was added; try again";
        case SQLITE_READONLY:
            return "may not be written, and nothing was added; check that file and folder may be written";
        case SQLITE_CANTOPEN: return "cannot be opened; check that file and folder exist and may be read and written";
        case SQLITE_PERM:
        case SQLITE_AUTH: return "may not be opened; check who may read it";
        case SQLITE_NOMEM: return "does not fit into memory, and nothing was added";
        case SQLITE_TOOBIG: return "would get a text or file that is too large, and nothing was added";
        default: return "";
    }
}

}  // namespace

void Database::fail(int code) const {
    std::string words = words_for(code);
    const std::string told = handle_ == nullptr ? sqlite3_errstr(code) : sqlite3_errmsg(handle_);
    if (words.empty()) words = "was refused by the database, and nothing was added";
    throw InputError({path_, 0}, "", words.append(" (").append(told).append(")"));
}

Database::Database(const std::string& path, Mode mode, int patience_ms) : path_(path) {
    // Readers too must be able to clear away what a killed writer left; where the file may not be written, SQLite
    // itself opens it for reading alone.
    const int access = mode == Mode::immutable ? SQLITE_OPEN_READONLY
                       : mode == Mode::read    ? SQLITE_OPEN_READWRITE
                                               : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    const int flags = access | SQLITE_OPEN_URI | SQLITE_OPEN_NOMUTEX;
    const std::string uri =
        mode == Mode::memory ? ":memory:" : uri_of(path, mode == Mode::immutable ? "?immutable=1" : "");
    const int code = sqlite3_open_v2(uri.c_str(), &handle_, flags, nullptr);
    if (code != SQLITE_OK) {
        const std::string words = words_for(code);
        sqlite3_close(handle_);
        throw InputError({path, 0}, "", words.empty() ? sqlite3_errstr(code) : words);
    }
    sqlite3_extended_result_codes(handle_, 1);
    sqlite3_busy_timeout(handle_, patience_ms);
    sqlite3_db_config(handle_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(handle_, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);  // records come from strangers
}

Database::~Database() {
    sqlite3_close(handle_);
}

void Database::run(const std::string& sql) {
    const int code = sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr);
    if (code != SQLITE_OK) fail(code);
}

std::int64_t Database::number(const std::string& sql) {
    Statement statement(*this, sql);
    return statement.next() ? statement.integer(0) : 0;
}

std::string Database::text(const std::string& sql) {
    Statement statement(*this, sql);
    return statement.next() ? statement.text(0) : "";
}

void Database::copy_from(Database& other) {
    sqlite3_backup* copying = sqlite3_backup_init(handle_, "main", other.handle_, "main");
    if (copying == nullptr) fail(sqlite3_errcode(handle_));
    const int code = sqlite3_backup_step(copying, -1);
    sqlite3_backup_finish(copying);
    if (code != SQLITE_DONE) other.fail(code);
}

Statement::Statement(Database& database, const std::string& sql) : database_(database) {
    check(sqlite3_prepare_v2(database.handle(), sql.c_str(), static_cast<int>(sql.size()), &statement_, nullptr));
}

Statement::~Statement() {
    sqlite3_finalize(statement_);
}

void Statement::check(int code) const {
    if (code != SQLITE_OK) database_.fail(code);
}

Statement& Statement::bind(const std::string& text) {
    check(sqlite3_bind_text64(statement_, ++bound_, text.data(), text.size(), SQLITE_TRANSIENT, SQLITE_UTF8));
    return *this;
}
Statement& Statement::bind_bytes(const std::string& bytes) {
    check(sqlite3_bind_blob64(statement_, ++bound_, bytes.data(), bytes.size(), SQLITE_TRANSIENT));
    return *this;
}
Statement& Statement::bind(std::int64_t number) {
    check(sqlite3_bind_int64(statement_, ++bound_, number));
    return *this;
}
Statement& Statement::bind(double number) {
    check(sqlite3_bind_double(statement_, ++bound_, number));
    return *this;
}
Statement& Statement::bind(const std::optional<double>& number) {
    if (number) return bind(*number);
    check(sqlite3_bind_null(statement_, ++bound_));
    return *this;
}
Statement& Statement::bind(const std::optional<std::int64_t>& number) {
    if (number) return bind(*number);
    check(sqlite3_bind_null(statement_, ++bound_));
    return *this;
}
Statement& Statement::bind_or_null(const std::string& text) {
    if (!text.empty()) return bind(text);
    check(sqlite3_bind_null(statement_, ++bound_));
    return *this;
}

bool Statement::next() {
    const int code = sqlite3_step(statement_);
    if (code != SQLITE_ROW && code != SQLITE_DONE) database_.fail(code);
    return code == SQLITE_ROW;
}

void Statement::run() {
    while (next()) {
    }
    sqlite3_reset(statement_);
    bound_ = 0;
}

std::string Statement::text(int column) const {
    const void* bytes = sqlite3_column_blob(statement_, column);
    const int size = sqlite3_column_bytes(statement_, column);
    return bytes == nullptr ? std::string()
                            : std::string(static_cast<const char*>(bytes), static_cast<std::size_t>(size));
}
std::int64_t Statement::integer(int column) const {
    return sqlite3_column_int64(statement_, column);
}
std::optional<double> Statement::real(int column) const {
    const int type = sqlite3_column_type(statement_, column);
    if (type == SQLITE_NULL) return std::nullopt;
    const bool number = type == SQLITE_FLOAT || type == SQLITE_INTEGER;  // a text would pass for 0
    return number ? sqlite3_column_double(statement_, column) : std::numeric_limits<double>::quiet_NaN();
}
bool Statement::is_null(int column) const {
    return sqlite3_column_type(statement_, column) == SQLITE_NULL;
}

Transaction::Transaction(Database& database) : database_(database) {
    database.run("BEGIN IMMEDIATE");
}
Transaction::~Transaction() {
    if (open_) sqlite3_exec(database_.handle(), "ROLLBACK", nullptr, nullptr, nullptr);
}
void Transaction::commit() {
    database_.run("COMMIT");
    open_ = false;
}

}  // namespace tymbal
