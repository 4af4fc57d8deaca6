#include "loss_words.h"

namespace tymbal {

const LossTerm* term_of(const LossBudget& losses, const std::string& name) {
    for (const LossTerm& term : losses.terms)
        if (term.name == name) return &term;
    return nullptr;
}

std::string heading(const std::string& term) {
    if (term == "diluted") return "material";
    if (term == "squeeze_film") return "gap";
    return term == "thermoelastic" ? "thermo" : term;
}

}  // namespace tymbal
