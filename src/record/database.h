// SQLite as this project needs it: statements that are finalised, transactions that end, errors that say what to do.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

struct sqlite3;
struct sqlite3_stmt;

namespace tymbal {

class Database {
public:
    enum class Mode { read, immutable, write, memory };

    /// @param path  named in messages; not used for Mode::memory
    /// @throws InputError when it cannot be opened
    Database(const std::string& path, Mode mode, int patience_ms);
    ~Database();
    Database(const Database&) = delete;
    Database& operator=(const Database&) = delete;

    /// One or more statements without values.
    void run(const std::string& sql);
    [[nodiscard]] std::int64_t number(const std::string& sql);
    [[nodiscard]] std::string text(const std::string& sql);
    /// Replaces all content by that of another one.
    void copy_from(Database& other);

    [[nodiscard]] sqlite3* handle() const { return handle_; }
    [[nodiscard]] const std::string& path() const { return path_; }
    /// @throws InputError that says what a result code means for the user
    [[noreturn]] void fail(int code) const;

private:
    std::string path_;
    sqlite3* handle_ = nullptr;
};

/// A prepared statement; values are bound in order from 1, columns counted from 0.
class Statement {
public:
    Statement(Database& database, const std::string& sql);
    ~Statement();
    Statement(const Statement&) = delete;
    Statement& operator=(const Statement&) = delete;

    Statement& bind(const std::string& text);
    Statement& bind(std::int64_t number);
    Statement& bind(double number);
    Statement& bind_bytes(const std::string& bytes);
    Statement& bind(const std::optional<double>& number);
    Statement& bind(const std::optional<std::int64_t>& number);
    /// Text that is null when it is empty.
    Statement& bind_or_null(const std::string& text);

    /// Next row; false behind the last.
    bool next();
    /// For statements without rows: runs and is ready for new values.
    void run();

    [[nodiscard]] std::string text(int column) const;
    [[nodiscard]] std::int64_t integer(int column) const;
    /// What is no number is NaN.
    [[nodiscard]] std::optional<double> real(int column) const;
    [[nodiscard]] bool is_null(int column) const;

private:
    void check(int code) const;

    Database& database_;
    sqlite3_stmt* statement_ = nullptr;
    int bound_ = 0;
};

/// All that is done between construction and commit(), or nothing.
class Transaction {
public:
    explicit Transaction(Database& database);
    ~Transaction();
    Transaction(const Transaction&) = delete;
    Transaction& operator=(const Transaction&) = delete;
    void commit();

private:
    Database& database_;
    bool open_ = true;
};

}  // namespace tymbal
