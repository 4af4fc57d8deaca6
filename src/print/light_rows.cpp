#include "light_rows.h"

#include "../text/figures.h"

namespace tymbal {

void light_row(std::ostream& out, const std::string& what, const std::string& value) {
    out << "  " << left(what, 34) << wrapped(out, value, 36, 36) << '\n';
}

std::string share_text(double share) {
    return fixed(100.0 * share, 2).append(" %");
}

std::string name_of(LightField field) {
    return field == LightField::along ? "x" : "y";
}

std::string name_of(Guided guided) {
    return guided == Guided::te ? "TE" : "TM";
}

Json polarisations_json(const std::vector<PolarisedResponse>& both) {
    Json out = Json::array();
    for (const PolarisedResponse& p : both)
        out.push_back({{"electric_field", name_of(p.field)},
                       {"reflectivity", number(p.response.reflectivity)},
                       {"transmission", number(p.response.transmission)}});
    return out;
}

}  // namespace tymbal
