#include "toml_text.h"

#include <algorithm>
#include <map>
#include <utility>

namespace tymbal {

/// Walks through valid TOML and notes where headings and values stand.
class TomlScan {
public:
    explicit TomlScan(TomlText& into) : into_(into), text_(into.text_) {}

    void run() {
        if (text_.compare(0, 3, "\xEF\xBB\xBF") == 0) at_ = 3;  // byte order mark
        std::vector<std::string> section;
        for (skip_space(true); at_ < text_.size(); skip_space(true)) {
            if (text_[at_] == '[')
                section = heading();
            else
                entry(section, false);
        }
    }

private:
    [[nodiscard]] char now() const { return at_ < text_.size() ? text_[at_] : '\0'; }
    [[nodiscard]] bool starts(const char* with) const {
        return text_.compare(at_, std::string(with).size(), with) == 0;
    }

    /// Past blanks, and over lines and comments too where the syntax has room for them.
    void skip_space(bool lines) {
        for (; at_ < text_.size(); ++at_) {
            const char c = text_[at_];
            if (c == ' ' || c == '\t' || (lines && (c == '\n' || c == '\r'))) continue;
            if (!lines || c != '#') return;
            at_ = std::min(text_.find('\n', at_), text_.size() - 1);
        }
    }

    std::vector<std::string> heading() {
        const bool list = starts("[[");
        at_ += list ? 2 : 1;
        std::vector<std::string> path = dotted();
        while (now() == ']') ++at_;
        if (list) path.push_back(std::to_string(++counts_[path]));
        into_.headings_.push_back({path, into_.line_end(at_)});
        at_ = into_.line_end(at_);
        return path;
    }

    std::vector<std::string> dotted() {
        std::vector<std::string> path;
        for (;;) {
            skip_space(false);
            path.push_back(one_key());
            skip_space(false);
            if (now() != '.') return path;
            ++at_;
        }
    }

    std::string one_key() {
        const std::size_t begin = at_;
        if (now() == '"' || now() == '\'') {
            string();
            return text_.substr(begin + 1, at_ - begin - 2);
        }
        while (at_ < text_.size() && std::string(" \t.=]").find(text_[at_]) == std::string::npos) ++at_;
        return text_.substr(begin, at_ - begin);
    }

    void entry(const std::vector<std::string>& section, bool in_braces) {
        TomlText::Entry found{section, at_, 0, 0, in_braces};
        for (std::string& part : dotted()) found.path.push_back(std::move(part));
        ++at_;  // =
        skip_space(false);
        found.begin = at_;
        value(found.path);
        found.end = at_;
        into_.entries_.push_back(found);
    }

    void value(const std::vector<std::string>& path) {
        const char c = now();
        if (c == '"' || c == '\'') return string();
        if (c == '[') return list();
        if (c == '{') return braces(path);
        while (at_ < text_.size() && std::string(",]}#\r\n").find(text_[at_]) == std::string::npos) ++at_;
        while (text_[at_ - 1] == ' ' || text_[at_ - 1] == '\t') --at_;
    }

    void string() {
        const char quote = now();
        const std::string three(3, quote);
        const std::string end = starts(three.c_str()) ? three : std::string(1, quote);
        for (at_ += end.size(); at_ < text_.size() && !starts(end.c_str()); ++at_)
            if (text_[at_] == '\\' && quote == '"') ++at_;
        at_ = std::min(at_ + end.size(), text_.size());
        if (end.size() == 3)
            while (now() == quote) ++at_;  // quotes may stand before the closing three
    }

    void list() {
        ++at_;
        for (skip_space(true); at_ < text_.size() && now() != ']'; skip_space(true)) {
            if (now() == ',')
                ++at_;
            else
                value({"", ""});  // no key leads into a list
        }
        at_ = std::min(at_ + 1, text_.size());
    }

    void braces(const std::vector<std::string>& path) {
        ++at_;
        for (skip_space(true); at_ < text_.size() && now() != '}'; skip_space(true)) {
            if (now() == ',')
                ++at_;
            else
                entry(path, true);
        }
        at_ = std::min(at_ + 1, text_.size());
    }

    TomlText& into_;
    const std::string& text_;
    std::size_t at_ = 0;
    std::map<std::vector<std::string>, int> counts_;  // of headings that may stand several times
};

namespace {

/// "openings.2" as the way to a table.
std::vector<std::string> way_to(const std::string& section) {
    std::vector<std::string> way;
    for (std::size_t begin = 0; begin < section.size();) {
        const std::size_t end = std::min(section.find('.', begin), section.size());
        way.push_back(section.substr(begin, end - begin));
        begin = end + 1;
    }
    return way;
}

std::vector<std::string> way_to(const std::string& section, const std::string& key) {
    std::vector<std::string> way = way_to(section);
    way.push_back(key);
    return way;
}

/// "[holes]", or "[[openings]]" where the section ends in a number.
std::string heading_text(const std::string& section) {
    const std::size_t dot = section.rfind('.');
    const bool number =
        dot != std::string::npos && section.find_first_not_of("0123456789", dot + 1) == std::string::npos;
    return number ? "[[" + section.substr(0, dot) + "]]" : "[" + section + "]";
}

}  // namespace

TomlText::TomlText(std::string text) : text_(std::move(text)) {
    const std::size_t first = text_.find('\n');
    if (first != std::string::npos && first > 0 && text_[first - 1] == '\r') line_break_ = "\r\n";
    scan();
}

void TomlText::scan() {
    entries_.clear();
    headings_.clear();
    TomlScan(*this).run();
}

std::size_t TomlText::line_end(std::size_t at) const {
    const std::size_t found = text_.find('\n', at);
    return found == std::string::npos ? text_.size() : found + 1;
}

const TomlText::Entry* TomlText::find(const std::vector<std::string>& path) const {
    const auto found = std::find_if(entries_.begin(), entries_.end(), [&](const Entry& e) { return e.path == path; });
    return found == entries_.end() ? nullptr : &*found;
}

const TomlText::Heading* TomlText::heading(const std::vector<std::string>& path) const {
    const auto found =
        std::find_if(headings_.begin(), headings_.end(), [&](const Heading& h) { return h.path == path; });
    return found == headings_.end() ? nullptr : &*found;
}

std::string TomlText::value(const std::string& section, const std::string& key) const {
    const Entry* found = find(way_to(section, key));
    return found == nullptr ? "" : text_.substr(found->begin, found->end - found->begin);
}

void TomlText::insert_line(std::size_t at, const std::string& line) {
    const bool open = at > 0 && text_[at - 1] != '\n';  // the file's last line has no end
    text_.insert(at, open ? line_break_ + line : line + line_break_);
    scan();
}

/// Beside the section's other keys, where they are dotted or in braces. @return false when there are none
bool TomlText::insert_beside(const std::string& section, const std::string& line) {
    if (const Entry* braces = find({section}); braces != nullptr && text_[braces->begin] == '{') {
        const std::size_t last = text_.find_last_not_of(" \t", braces->end - 2);
        text_.insert(last + 1, (last == braces->begin ? " " : ", ") + line);
        scan();
        return true;
    }
    const auto dotted = std::find_if(entries_.begin(), entries_.end(),
                                     [&](const Entry& e) { return e.path.size() == 2 && e.path[0] == section; });
    if (dotted == entries_.end()) return false;
    insert_line(line_end(dotted->end), section + "." + line);
    return true;
}

void TomlText::set(const std::string& section, const std::string& key, const std::string& value) {
    if (const Entry* found = find(way_to(section, key))) {
        text_.replace(found->begin, found->end - found->begin, value);
        return scan();
    }
    const std::string line = key + " = " + value;
    if (const Heading* above = heading(way_to(section))) return insert_line(above->end, line);
    if (insert_beside(section, line)) return;
    if (!text_.empty() && text_.back() != '\n') text_ += line_break_;
    text_.append(text_.empty() ? "" : line_break_).append(heading_text(section)).append(line_break_);
    insert_line(text_.size(), line);
}

void TomlText::remove(const std::string& section, const std::string& key) {
    const Entry* found = find(way_to(section, key));
    if (found == nullptr) return;
    std::size_t begin = found->key, end = found->end;
    if (found->in_braces) {
        const std::size_t after = text_.find_first_not_of(" \t", end),
                          before = text_.find_last_not_of(" \t", begin - 1);
        if (text_[after] == ',')
            end = text_.find_first_not_of(" \t", after + 1);
        else if (text_[before] == ',')
            begin = before;
    } else {
        const std::size_t after = text_.find_first_not_of(" \t\r", end);
        const bool comment = after != std::string::npos && text_[after] == '#';
        if (comment) {
            end = after;
        } else {
            const std::size_t before = text_.rfind('\n', begin);
            begin = before == std::string::npos ? 0 : before + 1;
            end = line_end(end);
        }
    }
    text_.erase(begin, end - begin);
    scan();
}

void TomlText::put_first(const std::string& section, const std::string& line) {
    if (const Heading* above = heading(way_to(section))) insert_line(above->end, line);
}

std::string quoted_like(const std::string& old, const std::string& text) {
    for (const char* quote : {"\"\"\"", "'''", "'"})
        if (old.rfind(quote, 0) == 0) return quote + text + quote;
    return "\"" + text + "\"";
}

}  // namespace tymbal
