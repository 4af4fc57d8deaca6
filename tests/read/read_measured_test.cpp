// Measured tables as instruments and people write them, and everything that must be refused.
#include "tymbal/read/read_measured.h"
#include "support/approx.h"
#include "support/designs.h"
#include "support/places.h"
#include "tymbal/base/error.h"
#include "tymbal/print/write_table.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include <unistd.h>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

std::string file_with(const std::string& text) {
    const auto path =
        std::filesystem::temp_directory_path() / ("tymbal-measured-" + std::to_string(::getpid()) + ".csv");
    std::ofstream(path, std::ios::binary) << text;
    return path.string();
}

Measured read(const std::string& text, const ReadingChoice& choice = {}) {
    return read_measured(file_with(text), choice);
}

/// The refusal, which must name the line and contain the words.
void refused(const std::string& text, int line, const std::string& words, const ReadingChoice& choice = {}) {
    CAPTURE(text);
    try {
        (void)read(text, choice);
        FAIL("was read");
    } catch (const InputError& e) {
        const std::string what = e.what();
        CAPTURE(what);
        if (line > 0)
            CHECK(what.find(std::string(".csv:").append(std::to_string(line)).append(":")) != std::string::npos);
        CHECK(what.find(words) != std::string::npos);
    }
}

std::string rows(int count, const std::string& header, const char* format) {
    std::string text = header + "\n";
    char line[64];
    for (int i = 0; i < count; ++i) {
        std::snprintf(line, sizeof line, format, 1000.0 + i, 1.0 + i % 7);
        text.append(line);
    }
    return text;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a peak list is read with units, uncertainty, Q and conditions") {
        const Measured m = read(
            "# pressure: 1e-6 mbar\n# mount: clip B\n# laser power: 20 uW\n"
            "frequency (kHz),uncertainty (Hz),Q,note\n787.01,24,2.4e5,first\n1243.5,37,,\n");
        REQUIRE(m.kind == MeasuredKind::peaks);
        REQUIRE(m.peaks.size() == 2);
        CHECK(m.peaks[0].frequency_hz == Approx(787010.0));
        CHECK(m.peaks[0].deviation_hz == 24.0);
        CHECK(*m.peaks[0].quality == 2.4e5);
        CHECK_FALSE(m.peaks[1].quality);
        CHECK(*m.conditions.pressure_pa == Approx(1e-4));
        CHECK(*m.conditions.mount == "clip B");
        CHECK(*m.conditions.power_w == Approx(20e-6));
        CHECK(m.notes.size() == 1);  // the column that is not used
    }

    TEST_CASE("conditions may be columns") {
        const Measured m = read("frequency (Hz);pressure (mbar);temperature (degC);date\n1000;2e-6;21;day 3\n");
        CHECK(*m.conditions.pressure_pa == Approx(2e-4));
        CHECK(*m.conditions.temperature_k == Approx(294.15));
        CHECK(*m.conditions.date == "day 3");
    }

    TEST_CASE("semicolons, decimal commas, Windows line ends, a byte order mark and a preamble are read alike") {
        const Measured plain =
            read("frequency (Hz),psd (m^2/Hz)\n1000.5,1e-28\n1001.0,2e-28\n", {.kind = MeasuredKind::spectrum});
        const Measured office = read(
            "\xEF\xBB\xBFinstrument;model X\r\ncentre;1,0 kHz\r\nresolution;0,5;Hz\r\n\r\n"
            "frequency [Hz];psd [m^2/Hz]\r\n1000,5;1e-28\r\n1001,0;2e-28;\r\n",
            {.kind = MeasuredKind::spectrum});
        CHECK(plain.spectrum.frequency_hz == office.spectrum.frequency_hz);
        CHECK(plain.spectrum.power == office.spectrum.power);
        const Measured tabs =
            read("frequency (Hz)\tpsd (m^2/Hz)\n1000.5\t1e-28\n1001.0\t2e-28\n", {.kind = MeasuredKind::spectrum});
        CHECK(plain.spectrum.power == tabs.spectrum.power);
    }

    TEST_CASE("decibels and amplitudes become powers") {
        const Measured db = read("time (ms),power (dBm)\n0,-20\n1,-30\n");
        CHECK(db.decay.time_s[1] == Approx(1e-3));
        CHECK(db.decay.power[0] / db.decay.power[1] == Approx(10.0));
        const Measured amplitude = read("# frequency: 787 kHz\ntime (s),amplitude (V)\n0,3\n1,1\n");
        CHECK(amplitude.decay.power[0] == Approx(9.0));
        CHECK(amplitude.decay.frequency_hz == Approx(787e3));
        const Measured asked = read("time (s),voltage (V)\n0,3\n1,1\n", {.signal = SignalScale::power});
        CHECK(asked.decay.power[0] == Approx(3.0));
    }

    TEST_CASE("a width is of power unless said otherwise, and the file says how it was taken") {
        const Measured power = read("frequency (kHz),linewidth (Hz)\n1000,10\n");
        CHECK(*power.peaks[0].quality == Approx(1e5));
        CHECK(power.notes.size() == 1);
        const Measured amplitude = read("frequency (kHz),fwhm (Hz)\n1000,10\n", {.width = WidthOf::amplitude});
        CHECK(*amplitude.peaks[0].quality == Approx(1e5 * std::sqrt(3.0)));
    }

    TEST_CASE("lines with detunings stay in the order of the scan, and a width beside a detuning is a line's") {
        const Measured m = read(
            "detuning (kHz),frequency (kHz),width (Hz),width uncertainty (Hz)\n"
            "-40,400.2,20,2\n-400,400.1,50,4\n-800,400.1,,\n");
        REQUIRE(m.peaks.size() == 3);
        CHECK(*m.peaks[1].detuning_hz == Approx(-400e3));
        CHECK(*m.peaks[0].quality == Approx(400.2e3 / 20.0));
        CHECK(*m.peaks[0].quality_deviation == Approx(0.1 * 400.2e3 / 20.0));
        CHECK_FALSE(m.peaks[2].quality.has_value());
        CHECK_FALSE(m.peaks[2].quality_deviation.has_value());
        const Measured window = read("frequency (kHz),uncertainty (Hz),width (um)\n400.2,3,300\n");
        CHECK_FALSE(window.peaks[0].quality.has_value());
        refused("detuning (kHz),frequency (kHz),linewidth (Hz),linewidth std (Hz)\n-40,400,20,-1\n", 2, "below zero");
        refused("detuning,frequency (kHz)\n-40,400\n", 1, "names no unit");
        refused("detuning (kHz),frequency (kHz)\nfar,400\n", 2, "not a finite number");
        refused("detuning (kHz),frequency (kHz)\n-1e300,400\n", 2, "more than 1 THz");
    }

    TEST_CASE("peaks out of order are sorted and said to be") {
        const Measured m = read("frequency (Hz)\n2000\n1000\n");
        CHECK(m.peaks[0].frequency_hz == 1000.0);
        CHECK(m.notes.size() == 1);
    }

    TEST_CASE("an evenly spaced table is a spectrum, a short one is asked about") {
        CHECK(read(rows(100, "frequency (Hz),amplitude (V)", "%.1f,%.1f\n")).kind == MeasuredKind::spectrum);
        refused(rows(20, "frequency (Hz),amplitude (V)", "%.1f,%.1f\n"), 0, "--kind");
        CHECK(
            read(rows(20, "frequency (Hz),amplitude (V)", "%.1f,%.1f\n"), {.kind = MeasuredKind::peaks}).peaks.size() ==
            20);
    }

    TEST_CASE("what cannot be read is refused with its line") {
        refused("", 0, "empty");
        refused("1,2\n3,4\n", 0, "no line that names a column for frequency or time");
        refused("frequency (Hz)\n", 0, "no rows");
        refused("frequency (Hz)\n1000\nnan\n", 3, "'nan'");
        refused("frequency (Hz)\n1000\ninf\n", 3, "'inf'");
        refused("frequency (Hz)\n1000\n12 apples\n", 3, "'12 apples'");
        refused("frequency (Hz)\n1000\n1e999\n", 3, "not a finite number");
        refused("frequency (kg)\n1000\n", 1, "accepted: Hz");
        refused("frequency\n1000\n", 1, "unit");
        refused("frequency (Hz)\n0\n", 2, "1 mHz");
        refused("frequency (GHz)\n787000\n", 2, "1 THz");
        refused("frequency (Hz),Q\n1000,0.2\n", 2, "below 1");
        refused("frequency (Hz),uncertainty (Hz)\n1000,-1\n", 2, "below zero");
        refused("frequency (Hz),uncertainty (kHz)\n1000,1\n", 2, "30 %");
        refused("frequency (Hz),frequency (kHz)\n1000,1\n", 1, "second column");
        refused("frequency (Hz),Q\n1000\n", 2, "fields");
        refused("frequency (Hz)\n1000\n1500\n1000\n1000\n", 5, "same as in line 2");
        refused(std::string("frequency (Hz)\n10\0 00\n", 22), 2, "zero");
        refused(std::string("\xFF\xFE"
                            "f\0r\0\n\0",
                            8),
                1, "UTF-8");
        refused(std::string("\xFE\xFF"
                            "\0f\0r\0\n",
                            8),
                1, "UTF-8");
        refused("frequency (Hz)\n1" + std::string(65536, '0') + "\n", 2, "longer than 65536");
        refused(rows(2001, "frequency (Hz),uncertainty (Hz)", "%.1f,%.1f\n"), 2002, "--kind spectrum");
        refused("frequency (Hz)\n1000\n", 0, "no column 'time (s)'", {.kind = MeasuredKind::ringdown});
        refused("time (s),amplitude (V)\n0,1\n", 0, "leave --kind out", {.kind = MeasuredKind::peaks});
        refused("frequency (Hz),Q\n1000,9\n", 0, "accepted: amplitude", {.kind = MeasuredKind::spectrum});
        refused("time (s),mount\n0,clip\n", 0, "no column for the signal");
    }

    TEST_CASE("headers as instruments write them were refused though they name their columns") {
        for (const char* header :
             {"freq (kHz)", "f (kHz)", "Freq [kHz]", "frequency_kHz", "Frequency_khz", "f / kHz"}) {
            CAPTURE(header);
            CHECK(read(std::string(header) + ",Q\n787.01,2e5\n").peaks[0].frequency_hz == Approx(787010.0));
        }
        CHECK(read("# f (kHz), Q\n787.01,2e5\n").peaks[0].frequency_hz == Approx(787010.0));
        const ReadingChoice spectrum{.kind = MeasuredKind::spectrum};
        CHECK(read("f (Hz),R (V)\n1000,3\n1001,4\n", spectrum).spectrum.power[0] == Approx(9.0));
        CHECK(read("f (Hz),X (V),Y (V)\n1000,3,4\n1001,1,0\n", spectrum).spectrum.power[0] == Approx(25.0));
        CHECK(read("f (Hz),X (V),Y (V),R (V)\n1000,9,9,5\n1001,1,0,1\n", spectrum).spectrum.power[0] == Approx(25.0));
        CHECK(read("f (Hz),Trace 1 [dBm]\n1000,-20\n1001,-30\n", spectrum).spectrum.power[0] == Approx(0.01));
        CHECK(read("f (Hz),Trace 1 (V/sqrt(Hz)),phase (deg)\n1000,3,1\n1001,4,2\n", spectrum).spectrum.power[0] ==
              Approx(9.0));
        const Measured decay = read("t (ms),R (nm)\n0,3\n1,2\n");
        CHECK(decay.decay.time_s[1] == Approx(1e-3));
        CHECK(decay.decay.in_metres);
        CHECK(decay.decay.power[0] == Approx(9e-18));
        refused("wavelength (nm),power (W)\n1000,1\n", 0, "frequency (also freq, f) or time (t)");
        refused("t (s),X (V)\n0,1\n1,0.5\n", 0, "R, X and Y together");
    }

    TEST_CASE("units may stand in a line of their own") {
        const Measured m = read("Frequency,Q,note\nkHz,,\n787.01,2e5,a\n");
        CHECK(m.peaks[0].frequency_hz == Approx(787010.0));
        CHECK(*m.peaks[0].quality == Approx(2e5));
        const Measured decay = read("time,amplitude\n[ms],[V]\n0,3\n1,1\n");
        CHECK(decay.decay.time_s[1] == Approx(1e-3));
        CHECK(decay.decay.power[0] == Approx(9.0));
        refused("frequency,Q\nkg,\n787.01,2e5\n", 1, "has the unit 'kg'");
    }

    TEST_CASE("a degenerate pair listed twice, as predict writes it, is read as a pair; thrice it is refused") {
        const Measured m = read("index,label,frequency_hz,frequency_std_hz\n2,\"(1,2)\",1000,3\n3,\"(2,1)\",1000,3\n");
        REQUIRE(m.peaks.size() == 2);
        CHECK(m.peaks[1].deviation_hz == 3.0);
        CHECK(m.notes.back() == "lines 2 and 3 have one frequency: taken as a degenerate pair");
    }

    TEST_CASE("the table that predict writes was refused: quality_low as a second Q") {
        const Prediction p = sample::predict(sample::film("50 nm", "1.00 +- 0.03 GPa") + sample::square("100 um") +
                                             "[solve]\nmodes = 3\naccuracy = 1e-2\n");
        std::ostringstream csv;
        write_csv(csv, p);
        const Measured m = read(csv.str());
        CHECK(m.kind == MeasuredKind::peaks);
        REQUIRE(m.peaks.size() == 3);
        for (std::size_t k = 0; k < 3; ++k) {
            CHECK(m.peaks[k].frequency_hz == Approx(p.modes[k].mode.frequency_hz));
            CHECK(*m.peaks[k].quality == Approx(p.modes[k].losses.total.value));
        }
        CHECK_FALSE(m.conditions.spot.has_value());  // spot_overlap is no spot
        const auto unused = [&](const char* name) {
            const std::string note = std::string("column '").append(name).append("' is not used");
            return std::find(m.notes.begin(), m.notes.end(), note) != m.notes.end();
        };
        for (const char* name :
             {"quality_low", "quality_high", "spot_overlap", "number", "bending_share", "rim_share", "share_within"})
            CHECK_MESSAGE(unused(name), name);
    }

    TEST_CASE("a power density with its unit behind underscores is one") {
        const ReadingChoice spectrum{.kind = MeasuredKind::spectrum};
        CHECK(read("frequency_Hz,PSD_m2_per_Hz\n1000,4\n1001,5\n", spectrum).spectrum.power[0] == Approx(4.0));
        CHECK(read("frequency_Hz,signal_V2_per_Hz\n1000,4\n1001,5\n", spectrum).spectrum.power[0] == Approx(4.0));
        CHECK(read("frequency_Hz,signal_m_per_rtHz\n1000,4\n1001,5\n", spectrum).spectrum.power[0] == Approx(16.0));
    }

    TEST_CASE("what is ambiguous is asked for") {
        refused("time (s),voltage (V)\n0,1\n1,0.5\n", 0, "--signal");
        refused("frequency (kHz);Q\n787,027;1000\n", 2, "--decimal");
        CHECK(read("frequency (kHz);Q\n787,027;1000\n", {.decimal = ','}).peaks[0].frequency_hz == Approx(787027.0));
        refused("frequency (kHz);Q\n787,02;1000\n900.5;1000\n", 2, "decimal");
        refused("frequency (kHz),Q\n787,02,1000\n", 2, "semicolons");
        refused("time (s),amplitude (V)\n0,1\n1,0.5\n", 0, "--signal", {.signal = SignalScale::power});
    }

    TEST_CASE("curves must rise along their axis") {
        refused("time (s),amplitude (V)\n0,1\n1,0.5\n0.5,0.2\n", 4, "below the row before");
        refused("time (s),amplitude (V)\n0,1\n1,0.5\n1,0.2\n", 4, "same as in the row before");
        refused("frequency (Hz),psd (V^2/Hz)\n1,-1\n2,1\n", 2, "below zero", {.kind = MeasuredKind::spectrum});
    }

    TEST_CASE("every example of a measurement is read") {
        const std::string folder = places::source_dir() + "/examples/";
        CHECK(read_measured(folder + "measured-peaks.csv", {}).kind == MeasuredKind::peaks);
        CHECK(read_measured(folder + "measured-spectrum.csv", {}).kind == MeasuredKind::spectrum);
        CHECK(read_measured(folder + "measured-detuning.csv", {}).peaks.front().detuning_hz.has_value());
        CHECK(read_measured(folder + "measured-ringdown.csv", {}).kind == MeasuredKind::ringdown);
    }
}
