#include "svg_elements.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace tymbal {

namespace {

bool blank(char c) {
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

bool of_a_name(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '-' || c == '_' || c == ':' || c == '.';
}

class Reader {
public:
    Reader(const std::string& text, const std::string& path) : text_(text), path_(path) {}

    std::vector<SvgElement> all() {
        if (text_.compare(0, 3, "\xEF\xBB\xBF") == 0) at_ = 3;
        while (next_tag()) read_tag();
        if (!open_.empty()) refuse("ends inside <" + open_.back() + ">");
        if (elements_.empty()) refuse("holds no element; it must be an SVG file");
        return std::move(elements_);
    }

private:
    [[noreturn]] void refuse(const std::string& what) const { throw InputError(place(), "", what); }

    [[nodiscard]] Place place() const {
        return {path_, 1 + static_cast<int>(std::count(text_.begin(), text_.begin() + static_cast<long>(at_), '\n'))};
    }
    [[nodiscard]] bool here(const char* word) const {
        return text_.compare(at_, std::char_traits<char>::length(word), word) == 0;
    }

    void pass(const char* end, const char* what) {
        const std::size_t found = text_.find(end, at_);
        if (found == std::string::npos) refuse(std::string("has ") + what + " without an end");
        at_ = found + std::char_traits<char>::length(end);
    }

    /// To the next tag: words between tags belong to elements that are refused by their name, or to titles.
    bool next_tag() {
        at_ = std::min(text_.find('<', at_), text_.size());
        return at_ < text_.size();
    }

    void read_tag() {
        if (here("<!--")) return pass("-->", "a comment");
        if (here("<?")) return pass("?>", "an instruction");
        if (here("<!")) refuse("has a document type or a CDATA section, which are not read");
        ++at_;
        if (at_ < text_.size() && text_[at_] == '/') return read_end();
        read_start();
    }

    void read_end() {
        ++at_;
        const std::string name = read_name();
        skip_blanks();
        if (open_.empty() || open_.back() != name || !take('>'))
            refuse("has </" + name + "> where no <" + name + "> is open");
        open_.pop_back();
    }

    void read_start() {
        constexpr std::size_t deepest = 64;
        SvgElement element{"", {}, open_, place()};
        element.name = read_name();
        skip_blanks();
        while (at_ < text_.size() && text_[at_] != '>' && text_[at_] != '/') {
            const std::string key = read_name();
            if (!element.attributes.emplace(key, read_value(key)).second) refuse("gives " + key + " twice");
            skip_blanks();
        }
        const bool closed = take('/');
        if (!take('>')) refuse("has <" + element.name + " without an end");
        if (!closed) open_.push_back(element.name);
        if (open_.size() > deepest) refuse("has elements more than 64 deep");
        elements_.push_back(std::move(element));
    }

    std::string read_name() {
        const std::size_t from = at_;
        while (at_ < text_.size() && of_a_name(text_[at_])) ++at_;
        if (from == at_) refuse("has a sign where a name should be");
        return text_.substr(from, std::min<std::size_t>(at_ - from, 80));
    }

    std::string read_value(const std::string& key) {
        skip_blanks();
        if (!take('=')) refuse("has " + key + " without a value");
        skip_blanks();
        if (at_ >= text_.size() || (text_[at_] != '"' && text_[at_] != '\''))
            refuse("has a value of " + key + " without quotes");
        const std::size_t from = at_ + 1, to = text_.find(text_[at_], from);
        if (to == std::string::npos) refuse("has a value of " + key + " without an end");
        at_ = to + 1;
        return text_.substr(from, to - from);
    }

    void skip_blanks() {
        while (at_ < text_.size() && blank(text_[at_])) ++at_;
    }
    bool take(char c) {
        if (at_ >= text_.size() || text_[at_] != c) return false;
        ++at_;
        return true;
    }

    const std::string& text_;
    const std::string& path_;
    std::size_t at_ = 0;
    std::vector<std::string> open_;
    std::vector<SvgElement> elements_;
};

}  // namespace

std::vector<SvgElement> svg_elements(const std::string& text, const std::string& path) {
    return Reader(text, path).all();
}

}  // namespace tymbal
