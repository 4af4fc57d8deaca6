#include "read_release.h"

#include "find_row.h"

#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

/// An etchant of the table; one that it does not have where the design gives the rate itself.
Etchant find_etchant(const DesignSection& s, const Materials& materials) {
    const std::string name = s.text("etchant");
    if (s.has("rate") && materials.etchants.count(name) == 0) {
        Etchant own;
        own.row = name;
        own.title = "no row of the material table, rates of the design";
        return own;
    }
    return find_row(s, "etchant", materials.etchants);
}

void require_attack(const DesignSection& s, const Release& release) {
    if (release.film_rate && !release.rate && !release.etchant)
        s.table().missing("rate", "the rate of the sacrificial layer too, or an etchant of the material table");
    if (release.rate || !release.etchant) return;
    if (release.sacrificial.empty()) s.table().missing("sacrificial", "the layer that the etchant removes");
    const auto found = release.etchant->rates.find(release.sacrificial);
    if (found == release.etchant->rates.end() || !(found->second.si() > 0.0))
        s.table().refuse(
            "etchant", "is '" + release.etchant->row + "', for which the material table has no rate on '" +
                           release.sacrificial +
                           "'; give your own as release.rate, or choose an etchant that attacks the sacrificial layer");
}

std::string too_many(std::size_t count, std::size_t most) {
    std::string text = "has ";
    text.append(std::to_string(count)).append(" holes to draw etch fronts round, and ").append(std::to_string(most));
    text.append(" are allowed; use a larger pitch or a smaller field, or allow more (most_holes), ");
    return text.append(std::to_string(count));
}

}  // namespace

Release read_release(const DesignSection& s, const Materials& materials) {
    Release release;
    release.gap = s.plain<Length>("gap", ranges::thickness);
    if (s.has("sacrificial")) release.sacrificial = find_row(s, "sacrificial", materials.solids).row;
    if (s.has("etchant")) release.etchant = find_etchant(s, materials);
    if (s.has("rate")) release.rate = s.sourced<Speed>("rate", ranges::speed);
    if (s.has("film_rate")) release.film_rate = s.sourced<Speed>("film_rate", ranges::speed);
    if (s.has("undercut") && s.has("time"))
        s.table().refuse("time", "and undercut are both given; one follows from the other, leave one out");
    if (s.has("undercut")) release.undercut = s.sourced<Length>("undercut", ranges::way);
    if (s.has("time")) release.time = s.sourced<Time>("time", ranges::duration);
    if (release.time && !release.etchant && !release.rate)
        s.table().missing("etchant", "the bath in which that time is spent, or its rate as release.rate");
    release.slow_down = s.optional<Length>("slow_down", ranges::way);
    if (s.has("drying")) release.drying = find_row(s, "drying", materials.liquids);
    require_attack(s, release);
    return release;
}

Released read_hole_field(const DesignSection& s, const std::optional<HolePattern>& holes,
                         const std::optional<Release>& release, const std::string& film_row, std::size_t most_holes) {
    for (const std::string& key : s.table().keys())
        if (key != "shape") s.table().refuse(key, "does not belong to shape = \"hole-field\"");
    if (!holes) s.table().refuse("shape", "= \"hole-field\" needs a section [holes] with the field's extent");
    const std::optional<Sourced<Length>> undercut = release ? undercut_of(*release, film_row) : std::nullopt;
    if (!undercut) s.table().refuse("shape", "= \"hole-field\" needs release.undercut, or release.time and an etchant");
    if (!(undercut->si() > 0.0))
        s.table().refuse("shape",
                         "= \"hole-field\": after release.time the front is not ahead of the hole's edge, which "
                         "recedes too; shorten the time, or choose an etchant that spares the film");
    const std::vector<Hole> in_place = place_holes(*holes);
    if (in_place.size() > most_holes)
        s.table().refuse("shape", "= \"hole-field\" " + too_many(in_place.size(), most_holes));
    return set_free(placed(*holes, in_place), *undercut);
}

void require_few_holes(std::size_t count, std::size_t most, const DesignSection& s) {
    if (count > most) s.table().refuse("lattice", too_many(count, most));
}

void require_film_left(const Film& deposited, double loss, const DesignSection& s) {
    if (deposited.thickness.si() > loss) return;
    char lost[96];
    std::snprintf(lost, sizeof lost, "%.3g nm at the mean rate, of %.3g nm deposited", 1e9 * loss,
                  1e9 * deposited.thickness.si());
    s.table().refuse(s.has("time") ? "time" : "undercut",
                     std::string("takes so long in this etchant that it removes the film itself (") + lost +
                         "): shorten the undercut by a smaller pitch, take a thicker film, or an etchant that takes "
                         "less film for its oxide (`tymbal materials` lists rates); a rate that you measured goes "
                         "into release.film_rate");
}

Film thinned(const Film& deposited, const FilmLoss& loss, const DesignSection& s) {
    require_film_left(deposited, loss.mean(), s);
    const double left = deposited.thickness.si() - loss.mean();
    Film film = deposited;
    Source source = deposited.thickness.source();
    source.citation.append(", less the wet etch");
    film.thickness = {
        Length::from_si(left),
        Length::from_si(std::hypot(deposited.thickness.deviation_si(), loss.mean() * loss.relative_spread)), source};
    return film;
}

}  // namespace tymbal
