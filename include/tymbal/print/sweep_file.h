// The table of a running sweep on disk: whole after every row, continued after a crash, never shared by two sweeps.
#pragma once

#include <set>
#include <string>

namespace tymbal {

/// Rows are appended by one write each and synced; a row that a crash cut is dropped when the file is opened again. The
/// file is locked while it is open.
class SweepFile {
public:
    /// @param head    what the file begins with, or must begin with to be continued
    /// @param resume  continue a file that is there; without it a file that is there is refused
    /// @throws InputError when it cannot be written, is locked by another sweep, or belongs to another one
    SweepFile(std::string path, const std::string& head, bool resume);
    ~SweepFile();
    SweepFile(const SweepFile&) = delete;
    SweepFile& operator=(const SweepFile&) = delete;

    /// Indices of the rows that the file already held.
    [[nodiscard]] const std::set<std::size_t>& done() const { return done_; }

    /// @param line  with its line end. @throws InputError when the disk does not take it; the file stays whole
    void append(const std::string& line);

    /// Puts the rows into the order of their index. @return the whole text
    std::string finish();

private:
    void start(const std::string& head, bool resume);

    std::string path_;
    int file_ = -1;
    std::set<std::size_t> done_;
};

}  // namespace tymbal
