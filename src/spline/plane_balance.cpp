#include "plane_balance.h"

#include "tymbal/base/error.h"

namespace tymbal::spline {

namespace {

std::shared_ptr<const Pattern> shared_pattern(const Cells& cells, const Space& space) {
    return std::make_shared<const Pattern>(pattern_of(cells, space));
}

}  // namespace

PlaneBalance::PlaneBalance(const Cells& cells, const Space& space, const Sheet& sheet, const SolveEffort& effort)
    : cells_(cells),
      space_(space),
      solver_(cells, space, plane_stiffness(cells, space, sheet, shared_pattern(cells, space), effort.cores()),
              effort) {
    require_held();
}

PlaneBalance::PlaneBalance(const Cells& cells, const Space& space, const Sheet& sheet,
                           const std::shared_ptr<const Levels>& levels, const SolveEffort& effort)
    : cells_(cells),
      space_(space),
      solver_(levels, plane_stiffness(cells, space, sheet, (*levels)[0].pattern, effort.cores()), effort) {
    require_held();
}

void PlaneBalance::require_held() const {
    if (solver_.negative() > 0) throw NoAnswer("the film cannot be balanced in its plane: part of it is not held");
}

Plane relax(const Cells& cells, const Space& space, const Sheet& sheet) {
    if (!relaxes(cells)) return {sheet, {}};
    return {sheet, PlaneBalance(cells, space, sheet).displacement(Deposited(sheet.tension))};
}

Plane relax(const Cells& cells, const Space& space, const Sheet& sheet, const std::shared_ptr<const Levels>& levels,
            const SolveEffort& effort) {
    if (!relaxes(cells)) return {sheet, {}};
    return {sheet, PlaneBalance(cells, space, sheet, levels, effort).displacement(Deposited(sheet.tension))};
}

}  // namespace tymbal::spline
