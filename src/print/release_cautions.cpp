#include "tymbal/print/write_release.h"

namespace tymbal {

std::vector<std::string> release_cautions(const ReleaseReport& report) {
    std::string drying;
    for (const DryingRow& row : report.drying)
        if (row.row == report.chosen_drying) drying = row.hazard;
    std::vector<std::string> cautions;
    if (!report.etch || report.etch->hazard.empty() || report.etch->hazard == "hydrofluoric acid")
        cautions.emplace_back(
            "Hydrofluoric acid, also diluted or buffered, goes through skin, attacks tissue and bone and can kill; "
            "pain may "
            "come hours late, so any suspected contact is an emergency. Only trained and authorised people, never "
            "alone, at "
            "the bench and with the protection laid down; calcium gluconate in date and at hand, the emergency plan "
            "known; "
            "no glass; medical help at once.");
    cautions.emplace_back(
        "A time printed here is an estimate from rates that drift with bath, temperature and film. It is no permission "
        "to "
        "work; measure your rate on a test piece.");
    if (drying == "pressure")
        cautions.emplace_back(
            "Supercritical drying: pressures near 100 atm, cold liquid, sudden release, asphyxiation in small rooms. "
            "Only "
            "released operators; fixed valves and covers are not touched under pressure.");
    if (drying == "flammable")
        cautions.emplace_back(
            "Isopropanol burns: ventilation, no ignition sources, never together with acids or oxidisers.");
    cautions.emplace_back(
        "Broken chips are sharp and contaminated. Local rules, safety data sheets and the facility's safety staff "
        "decide.");
    return cautions;
}

}  // namespace tymbal
