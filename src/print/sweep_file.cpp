#include "tymbal/print/sweep_file.h"

#include "tymbal/base/error.h"
#include "tymbal/print/sweep_table.h"
#include "tymbal/text/whole_file.h"

#include <sstream>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace tymbal {

namespace {

/// What differs first between the head a file has and the one it should have, for the message.
std::string first_difference(const std::string& found, const std::string& wanted) {
    std::istringstream a(found), b(wanted);
    std::string x, y;
    while (std::getline(b, y)) {
        if (!std::getline(a, x)) x = "nothing";
        if (x != y) return "it has '" + x.substr(0, 90) + "' where this sweep has '" + y.substr(0, 90) + "'";
    }
    return "";
}

}  // namespace

SweepFile::SweepFile(std::string path, const std::string& head, bool resume) : path_(std::move(path)) {
    file_ = ::open(path_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
    if (file_ < 0)
        throw InputError({path_, 0}, "", "cannot be written; check that the folder exists and may be written");
    try {
        start(head, resume);
    } catch (...) {
        ::close(file_);
        throw;
    }
}

SweepFile::~SweepFile() {
    ::close(file_);  // lets the lock go
}

void SweepFile::start(const std::string& head, bool resume) {
    struct stat status {};
    if (::fstat(file_, &status) != 0 || !S_ISREG(status.st_mode))
        throw InputError({path_, 0}, "", "is no file that rows can be appended to");
    if (::flock(file_, LOCK_EX | LOCK_NB) != 0)
        throw InputError({path_, 0}, "", "is being written by another sweep; wait for it or name another file");
    // Another sweep that ended just now may have put its sorted table in the place of the file opened here.
    struct stat named {};
    if (::stat(path_.c_str(), &named) != 0 || named.st_ino != status.st_ino || named.st_dev != status.st_dev)
        throw InputError({path_, 0}, "", "was replaced while it was opened; start again");
    if (::fstat(file_, &status) != 0) throw InputError({path_, 0}, "", "cannot be read");
    std::string text = status.st_size > 0 ? read_whole(path_) : "";
    if (!text.empty() && !resume)
        throw InputError({path_, 0}, "", "is there already; continue it (resume), or name another file");
    text.resize(text.rfind('\n') == std::string::npos ? 0 : text.rfind('\n') + 1);  // a line that a crash cut
    if (head.compare(0, text.size(), text) == 0) text.clear();                      // a head that a crash cut
    if (!text.empty() && text.compare(0, head.size(), head) != 0)
        throw InputError({path_, 0}, "",
                         "belongs to another sweep: " + first_difference(text, head) + "; name another file");
    if (::ftruncate(file_, static_cast<off_t>(text.size())) != 0)
        throw InputError({path_, 0}, "", "cannot be shortened to its last whole row");
    if (text.empty()) return append(head);
    const SweepTable table = parse_sweep(text, path_);
    for (std::size_t k = 0; k < table.rows.size(); ++k) done_.insert(table.index(k));
}

void SweepFile::append(const std::string& line) {
    struct stat before {};
    const bool known = ::fstat(file_, &before) == 0;
    const ssize_t taken = ::write(file_, line.data(), line.size());
    if (taken == static_cast<ssize_t>(line.size()) && ::fsync(file_) == 0) return;
    if (known && ::ftruncate(file_, before.st_size) == 0)
        throw InputError({path_, 0}, "", "did not take the next row; is the disk full? Continue it later (resume)");
    throw InputError(
        {path_, 0}, "",
        "did not take the next row and may end with a part of it; continue it later (resume), which drops that");
}

std::string SweepFile::finish() {
    const std::string text = read_whole(path_);
    SweepTable table = parse_sweep(text, path_);
    table.sort();
    std::string sorted = table_text(table);
    if (sorted != text) write_whole(path_, [&](std::ostream& out) { out << sorted; });
    return sorted;
}

}  // namespace tymbal
