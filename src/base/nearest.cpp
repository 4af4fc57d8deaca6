#include "tymbal/base/nearest.h"

#include <algorithm>
#include <cctype>
#include <numeric>

namespace tymbal {

namespace {

/// Levenshtein's distance: insertions, deletions and replacements.
std::size_t distance(const std::string& a, const std::string& b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, replaced});
        }
    }
    return row.back();
}

bool equal_but_case(const std::string& a, const std::string& b) {
    const auto small = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [&](char x, char y) { return small(x) == small(y); });
}

}  // namespace

std::string nearest(const std::string& word, const std::vector<std::string>& known) {
    if (word.size() > 200) return "";
    for (const std::string& name : known)  // 'mpa' is as far from GPa as from MPa
        if (equal_but_case(word, name)) return name;
    std::string best;
    std::size_t least = std::max<std::size_t>(2, word.size() / 2) + 1;
    for (const std::string& name : known) {
        const std::size_t d = distance(word, name);
        if (d >= least) continue;
        least = d;
        best = name;
    }
    return best;
}

std::string suggestion(const std::string& word, const std::vector<std::string>& known) {
    const std::string name = nearest(word, known);
    if (name.empty()) return "";
    std::string text = " (did you mean '";
    return text.append(name).append("'?)");
}

}  // namespace tymbal
