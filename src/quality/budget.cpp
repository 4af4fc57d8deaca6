#include "tymbal/quality/budget.h"

#include "tymbal/quality/gas.h"
#include "tymbal/quality/material_loss.h"
#include "tymbal/quality/radiation.h"
#include "tymbal/quality/thermoelastic.h"

#include "../base/plain.h"

#include <algorithm>
#include <stdexcept>

namespace tymbal {

namespace {

bool counts(const LossTerm& term) {
    return term.quality && term.name != "intrinsic";
}

void sum_up(LossBudget& budget) {
    double value = 0.0, low = 0.0, high = 0.0, most = 0.0;
    for (const LossTerm& term : budget.terms) {
        if (!counts(term)) continue;
        value += 1.0 / term.quality->value;
        low += 1.0 / term.quality->low;
        high += 1.0 / term.quality->high;
        if (1.0 / term.quality->value <= most) continue;
        most = 1.0 / term.quality->value;
        budget.limited_by = term.name;
    }
    budget.total = {1.0 / value, 1.0 / low, 1.0 / high};
}

const LossTerm* find(const LossBudget& budget, const std::string& name) {
    for (const LossTerm& term : budget.terms)
        if (term.name == name) return &term;
    return nullptr;
}

double gas_share(const LossBudget& budget) {
    double loss = 0.0;
    for (const char* name : {"gas", "squeeze_film"}) {
        const LossTerm* term = find(budget, name);
        if (term != nullptr && term->quality) loss += 1.0 / term->quality->value;
    }
    return loss * budget.total.value;
}

std::string two_digits(double value) {
    return plain(value, 2);
}

void warn_gas(const LossBudget& lowest, const LossInputs& inputs, Warnings& out) {
    const double share = gas_share(lowest);
    if (share > 0.1 && inputs.surroundings) {
        // Gas loss is proportional to pressure: a share s falls to a tenth at p (1 - s)/(9 s).
        const double enough = inputs.surroundings->pressure.si() * (1.0 - share) / (9.0 * share);
        out.push_back({"gas-limited", "gas makes " + two_digits(100.0 * share) +
                                          " % of the lowest mode's loss (central estimate); "
                                          "about " +
                                          two_digits(0.01 * enough) + " mbar would bring that to a tenth"});
    }
    for (const char* name : {"gas", "squeeze_film"}) {
        const LossTerm* term = find(lowest, name);
        if (term != nullptr && inputs.surroundings && term->note.rfind("Knudsen", 0) == 0)
            out.push_back({"gas-regime", std::string(name) + ": " + term->note});
    }
}

void warn_trust(const std::vector<LossBudget>& budgets, Warnings& out) {
    int rough = 0;
    for (const LossBudget& budget : budgets) {
        const LossTerm* term = find(budget, budget.limited_by);
        if (term != nullptr && term->trust == Trust::order_of_magnitude) ++rough;
    }
    if (rough > 0)
        out.push_back(
            {"order-of-magnitude",
             "the total Q of " + std::to_string(rough) + " of " + std::to_string(budgets.size()) +
                 " modes is set by a term that is only known to an order of magnitude; use its band, not its middle"});
}

}  // namespace

std::string heading(const std::string& term) {
    if (term == "diluted") return "material";
    if (term == "squeeze_film") return "gap";
    return term;
}

std::string to_string(Trust trust) {
    switch (trust) {
        case Trust::computed: return "computed";
        case Trust::estimated: return "estimated";
        case Trust::order_of_magnitude: return "order of magnitude";
    }
    throw std::logic_error("to_string: unhandled degree of trust");
}

LossBudget loss_budget(const Mode& mode, const LossInputs& inputs) {
    LossBudget budget;
    budget.dilution = dilution(mode.integrals);
    budget.terms.push_back(intrinsic_loss(inputs.film));
    budget.terms.push_back(diluted_loss(inputs.film, budget.dilution));
    budget.terms.push_back(radiation_loss(mode, inputs));
    budget.terms.push_back(gas_loss(mode, inputs));
    budget.terms.push_back(squeeze_film_loss(mode, inputs));
    budget.terms.push_back(thermoelastic_loss(mode, inputs.film, budget.dilution));
    sum_up(budget);
    return budget;
}

Warnings loss_warnings(const std::vector<LossBudget>& budgets, const LossInputs& inputs) {
    Warnings out;
    if (budgets.empty()) return out;
    warn_gas(budgets.front(), inputs, out);
    warn_trust(budgets, out);
    return out;
}

}  // namespace tymbal
