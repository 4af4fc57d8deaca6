// What is read and written again: a sweep's table keeps its text, and its JSON is JSON with as many rows.
#include "fuzz.h"

#include "tymbal/print/write_sweep.h"

#include <nlohmann/json.hpp>

#include <sstream>

using namespace tymbal;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = fuzz::text_of(data, size);
    fuzz::may_refuse([&] {
        SweepTable table = parse_sweep(text, "fuzz.csv");
        table.sort();
        const std::string once = table_text(table);
        SweepTable again = parse_sweep(once, "fuzz.csv");
        again.sort();
        fuzz::require(table_text(again) == once, "a table written and read is written the same");
        std::ostringstream out;
        write_json(out, table);
        const auto root = nlohmann::json::parse(out.str(), nullptr, false);
        fuzz::require(!root.is_discarded(), "a table is written as JSON");
        fuzz::require(root.at("rows").size() == table.rows.size(), "JSON has the table's rows");
        std::ostringstream shown;
        write_table(shown, table, 1);
        write_plot(shown, table, 1);
    });
    return 0;
}
