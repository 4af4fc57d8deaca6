#include "loss_words.h"

#include <algorithm>
#include <map>

namespace tymbal {

namespace {

/// "a", "a and b", "a, b and c"
std::string listed(const std::vector<std::string>& words) {
    std::string text;
    for (std::size_t k = 0; k < words.size(); ++k)
        text.append(k == 0 ? "" : k + 1 < words.size() ? ", " : " and ").append(words[k]);
    return text;
}

}  // namespace

const LossTerm* term_of(const LossBudget& losses, const std::string& name) {
    for (const LossTerm& term : losses.terms)
        if (term.name == name) return &term;
    return nullptr;
}

std::string trust_text(const std::vector<LossBudget>& modes) {
    std::map<std::string, Trust> least;  // of the terms that have a number
    std::vector<std::string> order;
    for (const LossBudget& losses : modes)
        for (const LossTerm& term : losses.terms) {
            if (!term.quality || term.name == "intrinsic") continue;
            const auto [known, added] = least.emplace(term.name, term.trust);
            if (added) order.push_back(term.name);
            known->second = std::max(known->second, term.trust);
        }
    std::string text;
    for (const Trust trust : {Trust::computed, Trust::estimated, Trust::order_of_magnitude}) {
        std::vector<std::string> names;
        for (const std::string& name : order)
            if (least.at(name) == trust) names.push_back(heading(name));
        if (names.empty()) continue;
        text.append(text.empty() ? "" : "; ").append(listed(names)).append(" ").append(to_string(trust));
    }
    return text;
}

}  // namespace tymbal
