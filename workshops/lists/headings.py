"""Which column is what, by its heading in English or Spanish. Pure: no Django."""

import re
import unicodedata
from collections.abc import Mapping, Sequence

PEOPLE: Mapping[str, str] = {
    "number": "record number, numero de registro",
    "name": "name, full name, attendee, attendee name, participant, person, who, nombre completo, "
    "nombre y apellidos, asistente, participante, persona",
    "first_name": "first name, given name, forename, firstname, nombre de pila",
    "last_name": "last name, surname, family name, lastname, second name, apellido, apellidos",
    "email": "e mail, email, mail, e mail address, email address, mail address, contact e mail, "
    "correo, correo electronico, direccion de correo, direccion de correo electronico",
    "phone": "phone, phone number, telephone, telephone number, mobile, mobile phone, "
    "mobile number, cell, cell phone, cellphone, tel, phone on the day, contact number, telefono, "
    "telefono movil, movil, celular, numero de telefono, telefono el dia, "
    "telefono el dia del taller",
    "birth_date": "birth date, birthdate, date of birth, dob, d o b, born, born on, birthday, "
    "fecha de nacimiento, nacimiento, f nacimiento, nacido",
    "under_age": "under 18, under age, underage, minor, menor, menor de edad, menor de 18",
    "guardian_name": "guardian, guardian name, guardian s name, parent, parent or guardian, "
    "parent guardian, name of guardian, tutor, tutor legal, nombre del tutor, padre o tutor",
    "guardian_phone": "guardian phone, guardian s phone, parent phone, parent s phone, "
    "guardian s number, telefono del tutor, tutor telefono",
    "emergency_name": "emergency contact, emergency contact name, emergency name, emergency, "
    "in case of emergency, ice, next of kin, contacto de emergencia, emergencia, "
    "nombre del contacto de emergencia, persona de contacto",
    "emergency_phone": "emergency phone, emergency contact phone, emergency number, ice phone, "
    "emergency telephone, emergency contact number, telefono de emergencia, "
    "telefono del contacto de emergencia",
    "language": "language, languages, lang, spoken language, preferred language, idioma, lengua",
    "experience": "experience, level, experiencia, nivel",
    "goal": "goal, goals, aim, objetivo, meta",
    "equipment": "what else they bring, other equipment, equipment, lenses, que mas traen, "
    "que mas trae, objetivos, otro equipo, equipo",
    "own_trigger": "own trigger, trigger, disparador propio, disparador",
    "swims": "can swim, swims, swimmer, sabe nadar, nada",
    "dietary": "dietary, diet, dietary needs, dietary requirements, food, allergies, dieta, "
    "alimentacion, alergias, comida",
    "access_needs": "access, access needs, accessibility, needs, accesibilidad, "
    "necesidades de acceso, acceso",
    "photo_consent": "photo consent, consent, may be in pictures of the day, pictures, "
    "permission for pictures, consentimiento, consentimiento de fotos, "
    "puede salir en fotos del dia",
    "notes": "notes, note, remarks, remark, comment, comments, notas, nota, observaciones, "
    "comentarios",
    "camera": "camera, camera body, body, camera model, camera make and model, make and model, "
    "camara, cuerpo, modelo de camara, marca y modelo, cuerpo de camara",
    "firmware": "firmware, firmware version",
    "sync_s": "sync, sync speed, flash sync, flash sync speed, x sync, camera sync speed, "
    "sincronizacion, velocidad de sincronizacion, sincronizacion del flash, "
    "velocidad de sincronizacion del flash",
    "sync_known": "sync speed known, sincronizacion conocida, velocidad de sincronizacion conocida",
    "fastest_shutter_s": "fastest shutter, fastest shutter speed, max shutter, top shutter speed, "
    "obturacion maxima, velocidad maxima, obturacion mas rapida",
    "lowest_iso": "iso, lowest iso, lowest native iso, base iso, min iso, native iso, iso base, "
    "iso minimo, iso nativo, iso minimo nativo, iso nativo mas bajo",
    "sensor_width_mm": "sensor width, sensor width mm, ancho del sensor, ancho del sensor mm",
    "sensor_height_mm": "sensor height, sensor height mm, alto del sensor, alto del sensor mm",
    "shoe": "hot shoe, shoe, zapata",
    "centre_contact": "centre contact, center contact, contacto central",
    "pc_socket": "pc sync socket, pc socket, toma pc, toma de sincronizacion pc",
    "leaf_shutter": "leaf shutter, obturador central, obturador de laminas",
    "electronic_only": "electronic shutter only, electronic only, solo obturador electronico",
    "flash_system": "flash system, system, sistema de flash, sistema",
}
KIT: Mapping[str, str] = {
    "category": "category, type, group, categoria, tipo, grupo",
    "kind": "kind, name, item, kind of kit, article, description, kit, clase, nombre, articulo, "
    "equipo, descripcion",
    "tag": "tag, asset tag, asset, label, asset number, inventory number, number, no, id, "
    "etiqueta, numero de inventario, inventario, codigo",
    "serial": "serial, serial number, serial no, s n, sn, numero de serie, serie, n de serie",
    "state": "state, status, condition, estado",
    "mass_kg": "mass, mass kg, weight, weight kg, kg, masa, masa kg, peso, peso kg",
    "maker_text": "make and model, maker, make, model, brand, marca, modelo, marca y modelo, "
    "fabricante",
    "health_share": "battery health, health, battery health share, salud de la bateria, salud, "
    "estado de la bateria",
    "cycles": "battery cycles, cycles, charge cycles, ciclos, ciclos de la bateria, "
    "ciclos de carga",
    "flashes_at_full": "full power flashes one charge, full power flashes, flashes at full, "
    "flashes, destellos a plena potencia, destellos",
    "sync_penalty_stops": "costs of sync stops, costs of sync, sync penalty, "
    "coste de sincronizacion",
    "channel": "channel, radio channel, canal",
    "incident_constant": "incident constant c, incident constant, constant c, constante incidente",
    "reflected_constant": "reflected constant k, reflected constant, constant k, "
    "constante reflejada",
    "notes": "notes, note, remarks, comment, comments, notas, observaciones, comentarios",
}


def folded(text: str) -> str:
    """Return a text without case, accents and signs, its words parted by one space."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(one for one in apart if not unicodedata.combining(one))
    return " ".join(re.findall(r"\w+", plain.replace("_", " ")))


class Headings:
    """The headings of one kind of list."""

    def __init__(self, words: Mapping[str, str]):
        self.fields = tuple(words)
        self._fields = {
            one.strip(): field for field, many in words.items() for one in many.split(",")
        }

    def also(self, words: Mapping[str, set[str]]) -> "Headings":
        """Return headings that know more words, given folded by field."""
        more = Headings({})
        more.fields = self.fields
        told = {one: field for field, many in words.items() for one in many}
        more._fields = self._fields | told
        return more

    def field(self, heading: str) -> str:
        """Return the field a heading names, empty for none; words in brackets count last."""
        whole, bare = folded(heading), folded(re.sub(r"[(\[].*?[)\]]", " ", heading))
        return self._fields.get(whole) or self._fields.get(bare, "")

    def knows(self, header: Sequence[str]) -> int:
        """Return how many different fields a row of headings names."""
        return len({self.field(one) for one in header} - {""})

    def columns(self, header: Sequence[str]) -> tuple[str, ...]:
        """Return the field of each column, empty for what is not read; the first of two counts."""
        found: list[str] = []
        for field in self.named(header):
            found.append("" if field in found else field)
        return tuple(found)

    def named(self, header: Sequence[str]) -> tuple[str, ...]:
        """Return the field each heading names, empty for none; several may name the same.

        "Nombre" beside "Apellidos" is the first name.
        """
        fields = [self.field(one) for one in header]
        parted = "last_name" in fields and "first_name" not in fields
        return tuple(
            "first_name" if parted and folded(heading) in ("name", "nombre") else field
            for heading, field in zip(header, fields, strict=True)
        )


people = Headings({**PEOPLE, "name": PEOPLE["name"] + ", nombre"})
kit = Headings(KIT)
