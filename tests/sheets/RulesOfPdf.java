import java.io.File;
import java.io.InputStream;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.PDFAValidator;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;
import org.verapdf.pdfa.results.ValidationResult;
import org.verapdf.pdfa.validation.profiles.Profiles;
import org.verapdf.pdfa.validation.profiles.ValidationProfile;

/**
 * Tries files against every rule of ISO 14289-1 (PDF/UA-1) that a machine can check. One line for
 * each file with the number of checks, and one for each rule it breaks.
 */
public class RulesOfPdf {
  static final String RULES = "org/verapdf/pdfa/validation/PDFUA-1.xml";

  public static void main(String[] files) throws Exception {
    VeraGreenfieldFoundryProvider.initialise();
    ValidationProfile rules;
    try (InputStream xml = RulesOfPdf.class.getClassLoader().getResourceAsStream(RULES)) {
      rules = Profiles.profileFromXml(xml);
    }
    for (String file : files) {
      try (PDFAParser parser =
              Foundries.defaultInstance().createParser(new File(file), PDFAFlavour.PDFUA_1);
          PDFAValidator validator = Foundries.defaultInstance().createValidator(rules, false)) {
        ValidationResult result = validator.validate(parser);
        System.out.println(file + "\tchecks\t" + result.getTotalAssertions());
        for (TestAssertion fault : result.getTestAssertions()) {
          System.out.println(
              file
                  + "\tbreaks\t"
                  + fault.getRuleId().getClause()
                  + ": "
                  + fault.getMessage()
                  + " at "
                  + fault.getLocation().getContext());
        }
      }
    }
  }
}
